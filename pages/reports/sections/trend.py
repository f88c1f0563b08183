"""Figures over the revisions of a system, up to the one that is reported and never beyond it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checks.comparison.comparison import Point, trend
from checks.text.number_format import NONE, target
from pages.presentation.wording import over_time
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.exposure import SCENARIO

MOST_COLUMNS = 5
"""So many revisions stand beside each other; more go on in a further table."""


def functions(reported: ReportedRevision) -> list[Piece]:
    """Results of the functions as a chart and a table, and the betas of the groups; nothing without history."""
    if len(reported.history) < 2:
        return []
    points, stops = _points(reported), _stops(reported)
    targets = {function.id: target(function.demand, function.target) for function in reported.functions}
    betas = [point for point in points if point.kind == "group" and point.value is not None]
    return [
        *_lead(reported),
        *result_charts.trend(points, stops, targets),
        *_tables("Function", (point for point in points if point.kind == "function"), stops),
        *_tables("Group", betas, stops),
        *page_layout.small(f"PFH in 1/h. Cyber scenario: {SCENARIO}. {NONE}: not there, or no redundancy."),
    ]


def zones(reported: ReportedRevision) -> list[Piece]:
    """Number of gaps of each zone; nothing without history."""
    if len(reported.history) < 2:
        return []
    return [
        *_lead(reported),
        *_tables("Zone", (point for point in _points(reported) if point.kind == "zone"), _stops(reported)),
    ]


def _points(reported: ReportedRevision) -> tuple[Point, ...]:
    names = {name for revision in reported.history for name in revision.scope.functions}
    return trend({str(revision.revision.number): revision.assessment for revision in reported.history}, functions=names)


def _stops(reported: ReportedRevision) -> dict[str, str]:
    """The day of each revision by its number."""
    return {str(revision.revision.number): revision.revision.cause.day for revision in reported.history}


def _lead(reported: ReportedRevision) -> list[Piece]:
    text = f"Every revision of {reported.scope.system} up to the one reported, as each was fixed, whether it was signed or not."
    if any(revision.revision.banks != reported.revision.banks for revision in reported.history):
        text += " An earlier one rested on another edition of a question bank; the figures are those that each revision stored."
    return page_layout.lead(text)


def _tables(what: str, points: Iterable[Point], stops: Mapping[str, str]) -> list[Piece]:
    """A row for each figure, a column for each revision; a figure that no revision of a table has is left out of it."""
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for point in points:
        rows.setdefault((point.id, point.measure), {})[point.label] = over_time(point)
    labels, pieces = list(stops), list[Piece]()
    for start in range(0, len(labels), MOST_COLUMNS):
        shown = labels[start : start + MOST_COLUMNS]
        cells = [
            [*key, *(figures.get(label, NONE) for label in shown)]
            for key, figures in rows.items()
            if not figures.keys().isdisjoint(shown)
        ]
        head = (what, "Figure", *(f"Revision {label}, {stops[label]}" for label in shown))
        widths = (1.6, 1.3, *(1.1 for _ in shown))
        pieces += page_layout.table(head, cells, widths=widths, right=range(2, len(head)))
    return pieces
