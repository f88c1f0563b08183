"""Architecture of each function of a revision, as separate statements."""

from __future__ import annotations

from checks.analysis import architecture
from pages.presentation import architecture_rows
from pages.presentation.wording import titled
from pages.reports.design_sections.beside_what_was_signed import introduction
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

GROUPS = (1.1, 0.8, 2.3, 2.2, 1.6, 1.6)
DEVICES = (0.8, 0.8, 1.1, 0.9, 2.5, 2.3)


def functions(reported: ReportedRevision) -> list[Piece]:
    """What the target asks, what each route says of each group, and the figures of each device once."""
    pieces = introduction(reported)
    if not reported.assessment.reproduced:
        return pieces
    devices: dict[str, list[str]] = {}
    head: tuple[str, ...] = ()
    for function in reported.functions:
        stated = architecture.of_function(reported.assessment, function.id)
        rows = architecture_rows.group_rows(stated)
        pieces += page_layout.heading(titled(function.id, reported.names[function.id]), 2)
        pieces += page_layout.paragraph(f"{stated.sil_words} {stated.capability_words}")
        pieces += page_layout.table(tuple(rows[0]), [list(row.values()) for row in rows], widths=GROUPS)
        for row in architecture_rows.device_rows(stated):
            head = tuple(row)
            devices[row["Device"]] = list(row.values())
    if devices:
        pieces += page_layout.heading("Devices", 2)
        pieces += page_layout.table(head, list(devices.values()), widths=DEVICES, right=(2, 3))
    return [*pieces, *page_layout.items([architecture.DEFERS, *architecture_rows.notes()])]
