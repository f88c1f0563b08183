"""What changed since the last signed revision, and which fact moved which figure."""

from __future__ import annotations

from collections.abc import Iterable
from math import prod
from typing import Any

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Comparison, FunctionChange, ZoneChange, compare
from checks.comparison.differences import AnswerFact, DataFact, Fact
from checks.comparison.steps import Step
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.wording import ANSWERS
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, last_signed_before, of_security

NO_EARLIER = "The record holds no earlier revision that both halves signed: there is nothing to compare with."
ORDER = "Facts interact: the size of a step depends on the order, which is plant data first, then answers by the banks."
NOT_EXPLAINED = "Which fact moved which figure is not told: this program computes other figures from the facts of a revision than the stored ones."
SECURITY_BLOCKS = ("zones", "conduits")


def functions(reported: ReportedRevision) -> list[Piece]:
    """Functions then and now, and step by step what moved each; security answers are told by their number only."""
    before = last_signed_before(reported)
    if before is None:
        return page_layout.paragraph(NO_EARLIER)
    compared = _compared(before, reported)
    if compared.nothing:
        return [*_against(before), *page_layout.paragraph("No fact differs, so no figure does.")]
    old = {
        change.id: change.old
        for change in compared.functions
        if change.old and change.new and change.old.demand == change.new.demand
    }
    pieces = [
        *_against(before),
        *_editions(compared),
        *_then_and_now(compared),
        *result_charts.rails(reported.functions, reported.names, before=old),
    ]
    moved = [piece for change in compared.functions for piece in _moved(change)]
    if moved:
        pieces += [*moved, *page_layout.small(ORDER)]
    if not compared.explained:
        pieces += page_layout.paragraph(NOT_EXPLAINED)
    return pieces + _others(compared)


def zones(reported: ReportedRevision) -> list[Piece]:
    """Gaps that came and went, and security answers that changed."""
    before = last_signed_before(reported)
    if before is None:
        return page_layout.paragraph(NO_EARLIER)
    compared = _compared(before, reported)
    answers = [fact for fact in compared.answers if of_security(fact.question)]
    pieces = [*_against(before), *(piece for change in compared.zones for piece in _gaps(change))]
    rows = [[f"{fact.question} of {fact.of}", *_values(fact), fact.new_evidence or NONE] for fact in answers]
    head = ("Security answer", "Then", "Now", "Evidence now")
    return pieces + (page_layout.table(head, rows, widths=(1.6, 1.2, 1.2, 3.6)) if rows else [])


def _compared(before: ReportedRevision, reported: ReportedRevision) -> Comparison:
    names = {*before.scope.functions, *reported.scope.functions}
    return compare(before.assessment, reported.assessment, functions=names)


def _against(before: ReportedRevision) -> list[Piece]:
    revision = before.revision
    days = sorted(signature.cause.day for signature in revision.signatures.values())
    text = f"Compared with revision {revision.number}, fixed {revision.cause.day} and signed {days[-1]}; SHA-256 {revision.hash}."
    return page_layout.lead(text)


def _editions(comparison: Comparison) -> list[Piece]:
    if not comparison.editions:
        return []
    changed = "; ".join(f"{fact.at[-1]} {_plain(fact.old)} to {_plain(fact.new)}" for fact in comparison.editions)
    return page_layout.paragraph(
        f"The two revisions rest on different editions ({changed}). Each shows the figures that it stored."
    )


def _then_and_now(comparison: Comparison) -> list[Piece]:
    rows = []
    for change in comparison.functions:
        gain = change.gain
        moved = NONE if gain is None else _gained(gain)
        rows.append([change.id, _figure(change.old), _figure(change.new), moved])
    return page_layout.table(("Function", "Then", "Now", "Result, cyber scenario"), rows, widths=(1.0, 3.15, 3.15, 1.9))


def _figure(function: FunctionResult | None) -> str:
    if function is None:
        return "not there"
    name, scored, adjusted = (
        measure_name(function.demand),
        measure(function.demand, function.cases.scored),
        measure(function.demand, function.cases.adjusted),
    )
    return (
        f"{name} {scored}: {verdicts.in_short(function, 'scored')}; "
        f"cyber scenario {adjusted}: {verdicts.in_short(function, 'adjusted')}"
    )


def _gained(gain: float) -> str:
    if 0.999 < gain < 1.001:
        return "unchanged"
    return f"better by a factor {factor(gain)}" if gain > 1.0 else f"worse by a factor {factor(1.0 / gain)}"


def _moved(change: FunctionChange) -> list[Piece]:
    """Steps of one function, those of security answers together."""
    shown = [step for step in change.steps if not _secret(step)]
    secret = [step for step in change.steps if _secret(step)]
    if change.new is None or not change.steps:
        return []
    demand = change.new.demand
    rows = [["\n".join(_open(step.facts)), measure(demand, step.after), _gained(step.gain)] for step in shown]
    if secret:
        many = sum(len(step.facts) for step in secret)
        text = f"{many} of the security half, told in the security annex"
        rows.append([text, measure(demand, secret[-1].after), _gained(prod(step.gain for step in secret))])
    head = ("Fact that moved it", f"{measure_name(demand)} with cyber scenario after it", "Result")
    return [
        *page_layout.heading(f"What moved {change.id}", 2),
        *page_layout.table(head, rows, widths=(5.0, 1.3, 2.2), right=(1,)),
    ]


def _secret(step: Step) -> bool:
    return all(map(_of_annex, step.facts))


def _open(facts: Iterable[Fact]) -> list[str]:
    """Facts that may stand in the safety report, a line each."""
    return [_fact(fact) for fact in facts if not _of_annex(fact)]


def _of_annex(fact: Fact) -> bool:
    if isinstance(fact, AnswerFact):
        return of_security(fact.question)
    return fact.at[0] in SECURITY_BLOCKS


def _fact(fact: Fact) -> str:
    if isinstance(fact, AnswerFact):
        return f"{fact.question} of {fact.of}: {' to '.join(_values(fact)).lower()}"
    return _datum(fact)


def _datum(fact: DataFact) -> str:
    if fact.whole:
        return f"{fact.place}: {'new' if fact.old is None else 'gone'}"
    return f"{fact.place}: {_plain(fact.old)} to {_plain(fact.new)}"


def _plain(value: Any) -> str:
    return NONE if value in (None, "") else str(value)


def _values(fact: AnswerFact) -> tuple[str, str]:
    old, new = (ANSWERS[answer.value] if answer else "Not answered" for answer in (fact.old, fact.new))
    return old, new


def _others(comparison: Comparison) -> list[Piece]:
    """Facts that moved no figure, and how many belong to the security half."""
    moving = {id(fact) for change in comparison.functions for step in change.steps for fact in step.facts}
    facts: list[Fact] = [*comparison.editions, *comparison.data, *comparison.answers]
    quiet = _open(fact for fact in facts if id(fact) not in moving)
    secret = sum(map(_of_annex, facts))
    pieces: list[Piece] = []
    if quiet:
        pieces += [*page_layout.heading("Changed, and moved no figure", 2), *page_layout.items(quiet)]
    if secret:
        pieces += page_layout.paragraph(
            f"Facts of the security half that changed: {secret}, told in the security annex."
        )
    return pieces


def _gaps(change: ZoneChange) -> list[Piece]:
    opened, closed = (", ".join(gap.question for gap in gaps) or "none" for gaps in (change.opened, change.closed))
    levels = [f"{fr} {old} to {new}" for fr, (old, new) in change.levels.items() if old != new]
    return page_layout.facts(
        [
            (f"Zone {change.id}", f"{len(change.staying)} gaps stay"),
            ("Opened", opened),
            ("Closed", closed),
            ("Levels indicated", ", ".join(levels) or "unchanged"),
        ]
    )
