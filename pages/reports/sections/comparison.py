"""Changes since the last signed revision, and the effect of each on the figures."""

from __future__ import annotations

from collections.abc import Iterable
from math import prod
from typing import Any

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Comparison, FunctionChange, ZoneChange, compare
from checks.comparison.differences import AnswerFact, DataFact, Fact, most_telling_first
from checks.comparison.steps import Step
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.wording import ANSWERS, answers_differ, counted, value_text
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, last_signed_before, of_security

NO_EARLIER = "The record contains no earlier revision with both signatures, so there is nothing to compare."
ORDER = "Changes interact: the size of a step depends on the order. Plant data comes first, then answers in the order of the question banks."
NOT_EXPLAINED = "The effect of each change is not shown: this program computes other figures than the stored ones."
SECURITY_BLOCKS = ("zones", "conduits")


def functions(reported: ReportedRevision) -> list[Piece]:
    """Functions before and after, with the effect of each change; security answers appear only as a count."""
    before = last_signed_before(reported)
    if before is None:
        return page_layout.paragraph(NO_EARLIER)
    compared = _comparison(before, reported)
    if compared.nothing:
        return [*_basis(before), *page_layout.paragraph("No input differs, so no figure differs.")]
    old = {
        change.id: change.old
        for change in compared.functions
        if change.old and change.new and change.old.demand == change.new.demand
    }
    pieces = [
        *_basis(before),
        *_editions(compared),
        *_before_and_after(compared),
        *result_charts.rails(reported.functions, reported.names, before=old),
    ]
    steps = [piece for change in compared.functions for piece in _steps(change)]
    if steps:
        pieces += [*steps, *page_layout.small(ORDER)]
    if not compared.explained:
        pieces += page_layout.paragraph(NOT_EXPLAINED)
    return pieces + _remaining_facts(compared)


def zones(reported: ReportedRevision) -> list[Piece]:
    """Gaps opened and closed, and security answers that changed."""
    before = last_signed_before(reported)
    if before is None:
        return page_layout.paragraph(NO_EARLIER)
    compared = _comparison(before, reported)
    answers = [fact for fact in compared.answers if of_security(fact.question)]
    pieces = [*_basis(before), *(piece for change in compared.zones for piece in _zone_change(change))]
    moved = [fact for fact in answers if fact.moves]
    rows = [[f"{fact.question} of {fact.of}", *_answer_texts(fact), fact.new_evidence or NONE] for fact in moved]
    head = ("Security answer", "Before", "After", "Evidence after")
    return [
        *pieces,
        *page_layout.lead(f"{answers_differ(answers)}."),
        *(page_layout.table(head, rows, widths=(1.6, 1.2, 1.2, 3.6)) if rows else []),
        *_same_value(answers),
    ]


def _comparison(before: ReportedRevision, reported: ReportedRevision) -> Comparison:
    names = {*before.scope.functions, *reported.scope.functions}
    return compare(before.assessment, reported.assessment, functions=names)


def _basis(before: ReportedRevision) -> list[Piece]:
    revision = before.revision
    days = sorted(signature.cause.day for signature in revision.signatures.values())
    text = f"Compared with revision {revision.number}, fixed {revision.cause.day} and signed {days[-1]}; SHA-256 {revision.hash}."
    return page_layout.lead(text)


def _editions(comparison: Comparison) -> list[Piece]:
    if not comparison.editions:
        return []
    changed = "; ".join(
        f"{fact.at[-1]} {_value_text(fact.old)} to {_value_text(fact.new)}" for fact in comparison.editions
    )
    return page_layout.paragraph(
        f"The two revisions use different editions ({changed}). Each shows its stored figures."
    )


def _before_and_after(comparison: Comparison) -> list[Piece]:
    rows = []
    for change in comparison.functions:
        effect = NONE if change.gain is None else _change_in_words(change.gain)
        rows.append([change.id, _figure(change.old), _figure(change.new), effect])
    return page_layout.table(
        ("Function", "Before", "After", "Change, cyber scenario"), rows, widths=(1.0, 3.15, 3.15, 1.9)
    )


def _figure(function: FunctionResult | None) -> str:
    if function is None:
        return "not present"
    name, scored, adjusted = (
        measure_name(function.demand),
        measure(function.demand, function.cases.scored),
        measure(function.demand, function.cases.adjusted),
    )
    return (
        f"{name} {scored}: {verdicts.in_short(function, 'scored')}; "
        f"cyber scenario {adjusted}: {verdicts.in_short(function, 'adjusted')}"
    )


def _change_in_words(gain: float) -> str:
    if 0.999 < gain < 1.001:
        return "unchanged"
    return f"better by a factor {factor(gain)}" if gain > 1.0 else f"worse by a factor {factor(1.0 / gain)}"


def _steps(change: FunctionChange) -> list[Piece]:
    """Steps of one function, with the security answers combined in one row."""
    shown = [step for step in change.steps if not _security_only(step)]
    security_steps = [step for step in change.steps if _security_only(step)]
    if change.new is None or not change.steps:
        return []
    demand = change.new.demand
    rows = [
        ["\n".join(_public_lines(step.facts)), measure(demand, step.after), _change_in_words(step.gain)]
        for step in shown
    ]
    if security_steps:
        count = sum(len(step.facts) for step in security_steps)
        text = f"{counted(count, 'security change')}, listed in the security annex"
        rows.append(
            [
                text,
                measure(demand, security_steps[-1].after),
                _change_in_words(prod(step.gain for step in security_steps)),
            ]
        )
    head = ("Change", f"{measure_name(demand)} with cyber scenario after it", "Effect")
    return [
        *page_layout.heading(f"Changes that affect {change.id}", 2),
        *page_layout.table(head, rows, widths=(5.0, 1.3, 2.2), right=(1,)),
    ]


def _security_only(step: Step) -> bool:
    return all(map(_of_annex, step.facts))


def _public_lines(facts: Iterable[Fact]) -> list[str]:
    """Changes that the safety report may show, one line each."""
    return [_fact_line(fact) for fact in facts if not _of_annex(fact)]


def _of_annex(fact: Fact) -> bool:
    if isinstance(fact, AnswerFact):
        return of_security(fact.question)
    return fact.at[0] in SECURITY_BLOCKS


def _fact_line(fact: Fact) -> str:
    if isinstance(fact, AnswerFact):
        return f"{fact.question} of {fact.of}: {' → '.join(_answer_texts(fact)).lower()}"
    return _data_line(fact)


def _data_line(fact: DataFact) -> str:
    if fact.whole:
        return f"{fact.place}: {'added' if fact.old is None else 'removed'}"
    return f"{fact.place}: {_value_text(fact.old)} → {_value_text(fact.new)}"


def _value_text(value: Any) -> str:
    return NONE if value in (None, "") else value_text(value)


def _answer_texts(fact: AnswerFact) -> tuple[str, str]:
    old, new = (ANSWERS[answer.value] if answer else "Not answered" for answer in (fact.old, fact.new))
    return old, new


def _remaining_facts(comparison: Comparison) -> list[Piece]:
    """Changes without effect on a figure, and the number of security changes."""
    with_effect = {id(fact) for change in comparison.functions for step in change.steps for fact in step.facts}
    facts: list[Fact] = [*comparison.editions, *comparison.data, *comparison.answers]
    public = [fact for fact in comparison.answers if not _of_annex(fact)]
    without_effect = _public_lines(
        fact for fact in facts if id(fact) not in with_effect and not (isinstance(fact, AnswerFact) and not fact.moves)
    )
    security = [fact for fact in comparison.answers if _of_annex(fact)]
    pieces = page_layout.paragraph(f"Common-cause half: {answers_differ(public)}.")
    if without_effect:
        pieces += [*page_layout.heading("Changes without effect on a figure", 2), *page_layout.items(without_effect)]
    pieces += _same_value(public)
    if any(map(_of_annex, facts)):
        data = sum(map(_of_annex, comparison.data))
        pieces += page_layout.paragraph(
            f"Security half: {answers_differ(security)}; {counted(data, 'change')} of zones and conduits; listed in the security annex."
        )
    return pieces


def _same_value(facts: Iterable[AnswerFact]) -> list[Piece]:
    """Answers with the same value and other evidence, note or author, last: by addressee and by what differs."""
    by_addressee: dict[str, dict[str, list[str]]] = {}
    for fact in most_telling_first(fact for fact in facts if not fact.moves):
        words = by_addressee.setdefault(fact.of, {})
        words.setdefault(fact.differs or "author or day changed", []).append(fact.question)
    rows = [
        [of, "\n".join(f"{words}: {', '.join(names)}" for words, names in differing.items())]
        for of, differing in by_addressee.items()
    ]
    if not rows:
        return []
    return [
        *page_layout.heading("Answers with the same value", 2),
        *page_layout.table(("Of", "What differs"), rows, widths=(1.6, 6.0)),
    ]


def _zone_change(change: ZoneChange) -> list[Piece]:
    opened, closed = (", ".join(gap.question for gap in gaps) or "none" for gaps in (change.opened, change.closed))
    levels = [f"{fr} {old} to {new}" for fr, (old, new) in change.levels.items() if old != new]
    return page_layout.facts(
        [
            (f"Zone {change.id}", f"{len(change.staying)} gaps remain"),
            ("Opened", opened),
            ("Closed", closed),
            ("Levels indicated", ", ".join(levels) or "unchanged"),
        ]
    )
