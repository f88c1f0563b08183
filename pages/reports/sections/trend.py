"""Figures over the revisions of a system, up to the reported one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checks.comparison.comparison import Point, trend
from checks.text.number_format import NONE, target
from pages.presentation.wording import trend_figure
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.exposure import SCENARIO

MOST_COLUMNS = 5
"""Revisions per table; further revisions go into another table."""


def functions(reported: ReportedRevision) -> list[Piece]:
    """Results of the functions as chart and table, and the betas of the groups; empty without history."""
    if len(reported.history) < 2:
        return []
    points, dates = _points(reported), _dates(reported)
    targets = {
        function.id: target(function.demand, function.target, function.target_sil) for function in reported.functions
    }
    betas = [point for point in points if point.kind == "group" and point.value is not None]
    return [
        *_lead(reported),
        *result_charts.trend(points, dates, targets),
        *_tables("Function", (point for point in points if point.kind == "function"), dates),
        *_tables("Group", betas, dates),
        *page_layout.small(f"PFH in 1/h. Cyber scenario: {SCENARIO}. {NONE}: not present, or no redundancy."),
    ]


def zones(reported: ReportedRevision) -> list[Piece]:
    """Number of gaps of each zone; empty without history."""
    if len(reported.history) < 2:
        return []
    return [
        *_lead(reported),
        *_tables("Zone", (point for point in _points(reported) if point.kind == "zone"), _dates(reported)),
    ]


def _points(reported: ReportedRevision) -> tuple[Point, ...]:
    names = {name for revision in reported.history for name in revision.scope.functions}
    return trend({str(revision.revision.number): revision.assessment for revision in reported.history}, functions=names)


def _dates(reported: ReportedRevision) -> dict[str, str]:
    """Date of each revision by number."""
    return {str(revision.revision.number): revision.revision.cause.day for revision in reported.history}


def _lead(reported: ReportedRevision) -> list[Piece]:
    text = f"All revisions of {reported.scope.system} up to the reported one, as fixed, signed or not."
    if any(revision.revision.banks != reported.revision.banks for revision in reported.history):
        text += " An earlier revision used another edition of a question bank; the figures are those stored with each revision."
    return page_layout.lead(text)


def _tables(what: str, points: Iterable[Point], dates: Mapping[str, str]) -> list[Piece]:
    """One row per figure, one column per revision; a table leaves out figures that none of its revisions has."""
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for point in points:
        rows.setdefault((point.id, point.measure), {})[point.label] = trend_figure(point)
    labels, pieces = list(dates), list[Piece]()
    for start in range(0, len(labels), MOST_COLUMNS):
        shown = labels[start : start + MOST_COLUMNS]
        cells = [
            [*key, *(figures.get(label, NONE) for label in shown)]
            for key, figures in rows.items()
            if not figures.keys().isdisjoint(shown)
        ]
        head = (what, "Figure", *(f"Revision {label}, {dates[label]}" for label in shown))
        widths = (1.6, 1.3, *(1.1 for _ in shown))
        pieces += page_layout.table(head, cells, widths=widths, right=range(2, len(head)))
    return pieces
