"""Spurious trips of each function of a revision."""

from __future__ import annotations

from checks.analysis import spurious_trips
from checks.analysis.spurious_trips import GroupTrips
from pages.presentation import trip_rows
from pages.presentation.wording import titled
from pages.reports.design_sections.beside_what_was_signed import introduction
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

WIDTHS = (1.3, 0.8, 1.1, 0.7, 1.1, 1.3, 1.1, 1.1)


def functions(reported: ReportedRevision) -> list[Piece]:
    """A sentence and a table for each function, and how the rates are made."""
    pieces = introduction(reported)
    if not reported.assessment.reproduced:
        return pieces
    groups: dict[str, GroupTrips] = {}
    for function in reported.functions:
        trips = spurious_trips.of_function(reported.assessment, function.id)
        groups |= {group.id: group for group in trips.groups}
        rows = trip_rows.group_rows(trips)
        pieces += page_layout.heading(titled(function.id, reported.names[function.id]), 2)
        pieces += page_layout.paragraph(trip_rows.sentence(trips))
        table_rows = [list(row.values()) for row in rows]
        pieces += page_layout.table(tuple(rows[0]), table_rows, widths=WIDTHS, right=(2, 3, 4, 5, 6, 7))
    return [*pieces, *page_layout.items([*trip_rows.notes(groups.values()), *trip_rows.conventions()])]
