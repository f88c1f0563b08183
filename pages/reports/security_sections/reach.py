"""What a compromise reaches in the part of the plant that a revision holds, and which functions are not independent."""

from __future__ import annotations

from collections.abc import Sequence

from checks.plantfile.plant import Plant
from checks.reach.conduit_graph import DIRECTION
from checks.reach.footholds import from_foothold
from checks.reach.independence import DEMANDS, PAIRS
from checks.reach.rest_of_plant import JOINED, REST, joined
from pages.presentation import reach_rows
from pages.presentation.reach_rows import Row
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision


def reach(reported: ReportedRevision) -> list[Piece]:
    """From the rest of the plant in full, from each zone of the system in a sentence, then what is not independent."""
    plant = joined(reported.plant, reported.scope.zones)
    if len(plant.zones) == 1:
        return []
    beyond = from_foothold(plant, REST)
    sentences = [reach_rows.headline(plant, from_foothold(plant, zone)) for zone in plant.zones]
    return [
        *page_layout.lead(f"{reach_rows.NO_PROBABILITY} {JOINED}"),
        *page_layout.items(sentences),
        *page_layout.small(DIRECTION),
        *_table("What closing one conduit leaves, from the rest of the plant", reach_rows.closing_rows(beyond)),
        *_table("Fewest conduits to close together", reach_rows.separation_rows(plant, beyond)),
        *_table("Zones reached from the rest of the plant", reach_rows.zone_rows(plant, beyond)),
        *_table("Functions that fall", reach_rows.function_rows(reported.assessment, beyond)),
        *page_layout.small(f"{reach_rows.not_reached(plant, beyond)} {reach_rows.BREAK_EVEN}".strip()),
        *_not_independent(plant),
    ]


def _not_independent(plant: Plant) -> list[Piece]:
    together = _table("Functions that one zone defeats together", reach_rows.together_rows(plant))
    demands = _table("Functions that the zone of their demand defeats", reach_rows.demand_rows(plant))
    return [
        *(together + page_layout.small(PAIRS) if together else []),
        *(demands + page_layout.small(DEMANDS) if demands else []),
    ]


def _table(title: str, rows: Sequence[Row]) -> list[Piece]:
    """A table with its heading, each column as wide as its longest text wants; nothing without rows."""
    if not rows:
        return []
    head = tuple(rows[0])
    cells = [[row[name] for name in head] for row in rows]
    widths = tuple(min(3.0, max(1.0, len(name) / 20, *(len(row[name]) / 14 for row in rows))) for name in head)
    return [*page_layout.heading(title, 2), *page_layout.table(head, cells, widths=widths)]
