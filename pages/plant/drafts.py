"""The draft of this browser: changed rows of the sheets of one plant, kept until they are saved or discarded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from checks.plant_tables import draft, entries, preview, rows
from checks.plant_tables.columns import SHEETS, keys
from checks.plant_tables.draft import Draft
from checks.plant_tables.entries import Sheet
from checks.plant_tables.preview import Preview
from checks.plant_tables.rows import Row
from checks.state.live import Live, State
from pages.ui import state

DRAFT = "plant draft"
"""Session key of the draft."""
CHECKED = "plant draft checked"
"""Session key of what the draft was last found to make of the plant."""


@dataclass(frozen=True)
class PlantDraft:
    """Rows of the changed sheets of a plant; ``seen`` is the number of the plant-data event that they began from.

    ``turn`` counts the changes that did not come from the grid, so that the grid then takes the rows as they are here.
    """

    plant: int
    seen: int
    sheets: Mapping[str, Sequence[Row]]
    turn: int = 0

    @property
    def changed(self) -> bool:
        """Whether any sheet is changed."""
        return bool(self.sheets)

    def rows(self, current: State, sheet: str) -> list[Row]:
        """Rows of a sheet as they are in the draft."""
        return list(self.sheets[sheet]) if sheet in self.sheets else rows.of_sheet(current.plant, sheet)

    def put(self, current: State, sheet: str, lines: Sequence[Row]) -> PlantDraft:
        """The draft with the rows of one sheet; a sheet that is as stored is no part of it."""
        filled = [line for line in lines if line]
        if filled == self.sheets.get(sheet):
            return self
        others = {name: kept for name, kept in self.sheets.items() if name != sheet}
        if filled == rows.of_sheet(current.plant, sheet):
            return replace(self, sheets=others) if sheet in self.sheets else self
        return replace(self, sheets={**others, sheet: filled})

    def plus(self, current: State, added: Mapping[str, Sequence[Row]]) -> PlantDraft:
        """The draft with further rows at the end of sheets, shown by the grid from now on."""
        new = self
        for sheet, lines in added.items():
            if lines:
                new = new.put(current, sheet, [*new.rows(current, sheet), *lines])
        return replace(new, turn=self.turn + 1)


def of(live: Live, current: State) -> PlantDraft:
    """The draft of this browser for a plant; a new one where there is none."""
    kept: PlantDraft | None = state.get(DRAFT)
    if kept is not None and kept.plant == live.key and (kept.changed or kept.seen == current.version.data):
        return kept
    turn = 0 if kept is None else kept.turn + 1
    return PlantDraft(live.key, current.version.data, {}, turn)


def keep(new: PlantDraft) -> None:
    """Keep the draft for the next runs."""
    state.put(DRAFT, new)


def discard(live: Live) -> None:
    """Forget the draft: the next one begins from what is stored."""
    kept: PlantDraft | None = state.get(DRAFT)
    state.put(DRAFT, PlantDraft(live.key, 0, {}, 0 if kept is None else kept.turn + 1))


@dataclass(frozen=True)
class Checked:
    """A draft put into the plant as a whole, with its faults, and the preview where it has none."""

    kept: PlantDraft
    version: object
    draft: Draft
    preview: Preview | None


def checked(current: State, kept: PlantDraft) -> Checked:
    """What a draft makes of the plant; computed once for a draft and a version of the journal."""
    last: Checked | None = state.get(CHECKED)
    if last is not None and last.kept is kept and last.version == current.version:
        return last
    sheets = [
        entries.read(Sheet(name, tuple(enumerate(lines, start=1)), keys(name))) for name, lines in kept.sheets.items()
    ]
    found = draft.draft(current.plant, sheets, whole=True)
    seen = None if found.plant is None else preview.preview(current, found.plant)
    new = Checked(kept, current.version, found, seen)
    state.put(CHECKED, new)
    return new


def as_rows(records: Sequence[Mapping[str, Any]], sheet: str) -> list[Row]:
    """Rows from the records of a grid: texts by key, empty ones left out."""
    known = [column.key for column in SHEETS[sheet]]
    return [
        {key: text for key in known if isinstance(text := record.get(key), str) and text != ""} for record in records
    ]
