"""Second opinions on paper: the beta of each group by every method, and each function by every exposure rule."""

from __future__ import annotations

from collections.abc import Iterator

from checks.analysis import beta_opinions, exposure_opinions
from checks.analysis.beta_opinions import AskedOpinion, GroupOpinions
from checks.text.number_format import measure, measure_name
from pages.charts import opinion_charts
from pages.presentation.wording import answer_label, titled
from pages.reports.charts.bar_rows import BarRows
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.exposure import SCENARIO

NOT_SHOWN = "Second opinions are not shown: this program computes other figures than the stored ones."
LEAD = (
    "Further methods say what they make of the same groups. They change no result: the method that carries it is named in "
    "each picture. Every beta is that of a pair (1oo2), before the MooN factor. A question without an answer has no default."
)


def second_opinions(reported: ReportedRevision) -> list[Piece]:
    """All opinions on the beta of each redundant group, then each function by each exposure rule."""
    if not reported.assessment.reproduced:
        return page_layout.paragraph(NOT_SHOWN)
    pieces = page_layout.lead(f"{LEAD} {opinion_charts.BACKDROP}")
    for group in reported.groups:
        found = beta_opinions.of_group(reported.assessment, group.id)
        if found is not None:
            pieces += _group(reported, found)
    return [*pieces, *_exposure_rules(reported)]


def _group(reported: ReportedRevision, found: GroupOpinions) -> list[Piece]:
    return [
        *page_layout.heading(f"Beta of {titled(found.group, reported.names[found.group])} by each method", 2),
        BarRows(opinion_charts.given(found)),
        *page_layout.table(
            opinion_charts.HEAD, list(map(list, opinion_charts.lines(found))), widths=(2.2, 1.3, 1.2, 3.3)
        ),
        *(piece for opinion in found.asked if not opinion.open for piece in _answers(reported, found.group, opinion)),
    ]


def _answers(reported: ReportedRevision, group: str, opinion: AskedOpinion) -> Iterator[Piece]:
    """The answers behind an opinion with their evidence, as far as a reader of the report sees them."""
    questions, answers = reported.assessment.banks.of(opinion.bank), reported.assessment.group(group).answers
    rows = [
        [name, question.text, _in_words(answers[name].value, question.choices), answers[name].evidence]
        for name, question in questions.items()
        if name in answers
    ]
    if rows:
        yield from page_layout.small(f"{opinion.about.label}: {opinion.about.source}. Valid for {opinion.about.valid}.")
        yield from page_layout.table(("Question", "Text", "Answer", "Evidence"), rows, widths=(0.9, 2.8, 2.2, 2.1))


def _in_words(value: str, choices: tuple[tuple[str, str], ...]) -> str:
    meaning = dict(choices).get(value)
    return answer_label(value) if meaning is None else f"{answer_label(value)}: {meaning}"


def _exposure_rules(reported: ReportedRevision) -> list[Piece]:
    """Each function with the cyber scenario by each exposure rule, on one axis and as a table."""
    assessed, chosen = exposure_opinions.by_rule(reported.assessment), reported.assessment.editions.exposure.about.label
    rows, pieces = [], page_layout.heading("The cyber scenario by each exposure rule", 2)
    for function in reported.functions:
        results = {label: each.function(function.id).cases.adjusted for label, each in assessed.items()}
        figures = (measure(function.demand, result) for result in (function.cases.scored, *results.values()))
        rows.append([function.id, measure_name(function.demand), *figures])
        pieces += page_layout.heading(titled(function.id, reported.names[function.id]), 3)
        pieces.append(BarRows(opinion_charts.exposure_rules(function, results, chosen)))
    head = ("Function", "Measure", "With common cause", *assessed)
    pieces += page_layout.table(head, rows, widths=(1.2, 1.0, *([1.3] * (len(head) - 2))))
    return [*pieces, *page_layout.small(f"Chosen: {chosen}. {SCENARIO[0].upper()}{SCENARIO[1:]}.")]
