"""Uncertainty of each function on paper: band, probability of missing the target, and what the result rests on.

It is no part of what was signed: this program computes it, and only where it computes the stored figures too.
"""

from __future__ import annotations

from checks.analysis import uncertainty
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.results import FunctionResult
from checks.text.number_format import NONE, measure, measure_name, percent, target
from pages.presentation.uncertainty_words import band_figures, band_sentence, sampled
from pages.presentation.wording import titled
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.uncertainty.method import ABOUT

UNSIGNED = "Calculated by this program, not part of what was signed."
NOT_SHOWN = "The uncertainty is not shown: this program computes other figures than the stored ones."
CERTAIN = (
    "No input of these functions is uncertain: every error factor is 1 or every result stated, and no answer is open."
)


def bands(reported: ReportedRevision) -> list[Piece]:
    """The uncertainty of every function with common cause; nothing on the cyber scenario."""
    if not reported.assessment.reproduced:
        return page_layout.paragraph(NOT_SHOWN)
    found = {function.id: uncertainty.of_function(reported.assessment, function.id) for function in reported.functions}
    uncertain = [(function, each) for function in reported.functions if (each := found[function.id]) is not None]
    if not uncertain:
        return page_layout.paragraph(CERTAIN)
    return [
        *page_layout.lead(UNSIGNED),
        *_table(reported.functions, found),
        *result_charts.rails(
            reported.functions, reported.names, bands={function.id: each for function, each in uncertain}
        ),
        *(piece for function, each in uncertain for piece in _function(reported, function, each)),
        *page_layout.heading("How it was calculated", 2),
        *page_layout.items(ABOUT.formula),
        *page_layout.small(f"Source: {ABOUT.source}. Valid for: {ABOUT.valid}."),
    ]


def _table(functions: list[FunctionResult], found: dict[str, Uncertainty | None]) -> list[Piece]:
    rows = []
    for function in functions:
        each = found[function.id]
        rows.append(
            [
                function.id,
                f"{measure_name(function.demand)} {target(function.demand, function.target, function.target_sil)}",
                measure(function.demand, function.cases.scored),
                band_figures(function, each),
                NONE if each is None else measure(function.demand, each.band.p50),
                percent(None if each is None else each.misses),
                NONE if each is None else each.mostly.input.name,
            ]
        )
    head = ("Function", "Target", "With common cause", "5 % to 95 %", "Median", "Misses the target", "Rests mostly on")
    return page_layout.table(head, rows, widths=(0.9, 1.2, 1.0, 1.6, 0.9, 0.9, 1.8), right=(2, 4, 5))


def _function(reported: ReportedRevision, function: FunctionResult, found: Uncertainty) -> list[Piece]:
    """One function: its band in words, and the share of each input as bars and as a table."""
    rows = [[part.input.name, part.input.spread, percent(part.share)] for part in found.rests_on]
    rest = ["interactions and noise of the sample", "", percent(found.rest)]
    return [
        *page_layout.heading(titled(function.id, reported.names[function.id]), 2),
        *page_layout.paragraph(band_sentence(function, found)),
        *result_charts.rests_on(found),
        *page_layout.table(
            ("Input", "Spread", "Share of the uncertainty"), [*rows, rest], widths=(2.6, 2.6, 1.6), right=(2,)
        ),
        *page_layout.small(sampled(found)),
    ]
