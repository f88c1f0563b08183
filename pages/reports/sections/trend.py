"""Figures over the revisions of a system, up to the one that is reported and never beyond it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checks.comparison.comparison import Point, trend
from checks.text.number_format import NONE, target
from pages.presentation.wording import over_time
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed
from scoring.exposure import SCENARIO

MOST_COLUMNS = 5
"""So many revisions stand beside each other; more go on in a further table."""


def functions(now: Fixed) -> list[Piece]:
    """Results of the functions as a chart and a table, and the betas of the groups; nothing without history."""
    if len(now.history) < 2:
        return []
    points, stops = _points(now), _stops(now)
    targets = {one.id: target(one.demand, one.target) for one in now.functions}
    betas = [one for one in points if one.kind == "group" and one.value is not None]
    return [
        *_lead(now),
        *result_charts.trend(points, stops, targets),
        *_tables("Function", (one for one in points if one.kind == "function"), stops),
        *_tables("Group", betas, stops),
        *page_layout.small(f"PFH in 1/h. Cyber scenario: {SCENARIO}. {NONE}: not there, or no redundancy."),
    ]


def zones(now: Fixed) -> list[Piece]:
    """Number of gaps of each zone; nothing without history."""
    if len(now.history) < 2:
        return []
    return [*_lead(now), *_tables("Zone", (one for one in _points(now) if one.kind == "zone"), _stops(now))]


def _points(now: Fixed) -> tuple[Point, ...]:
    names = {name for one in now.history for name in one.scope.functions}
    return trend({str(one.revision.number): one.assessment for one in now.history}, functions=names)


def _stops(now: Fixed) -> dict[str, str]:
    """The day of each revision by its number."""
    return {str(one.revision.number): one.revision.cause.day for one in now.history}


def _lead(now: Fixed) -> list[Piece]:
    said = (
        f"Every revision of {now.scope.system} up to the one reported, as each was fixed, whether it was signed or not."
    )
    if any(one.revision.banks != now.revision.banks for one in now.history):
        said += " An earlier one rested on another edition of a question bank; the figures are those that each revision stored."
    return page_layout.lead(said)


def _tables(what: str, points: Iterable[Point], stops: Mapping[str, str]) -> list[Piece]:
    """A row for each figure, a column for each revision; a figure that no revision of a table has is left out of it."""
    rows: dict[tuple[str, str], dict[str, str]] = {}
    for one in points:
        rows.setdefault((one.id, one.measure), {})[one.label] = over_time(one)
    labels, pieces = list(stops), list[Piece]()
    for start in range(0, len(labels), MOST_COLUMNS):
        shown = labels[start : start + MOST_COLUMNS]
        told = [
            [*key, *(held.get(label, NONE) for label in shown)]
            for key, held in rows.items()
            if not held.keys().isdisjoint(shown)
        ]
        head = (what, "Figure", *(f"Revision {label}, {stops[label]}" for label in shown))
        widths = (1.6, 1.3, *(1.1 for _ in shown))
        pieces += page_layout.table(head, told, widths=widths, right=range(2, len(head)))
    return pieces
