"""A list brought to a plant in this browser: its tables, what was chosen for it, and what it makes of the plant.

It stays until it is taken over or put away, over reruns and visits to other screens.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from checks.plant_tables import list_file, list_import, preview
from checks.plant_tables.draft import Draft
from checks.plant_tables.list_file import Table
from checks.plant_tables.list_import import SIGNS, Choices, ReadList
from checks.plant_tables.matching import NOT_READ, Chosen
from checks.plant_tables.preview import Preview
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from pages.ui import state


@dataclass(frozen=True)
class Brought:
    """A list: its name, its tables or why it has none, and what was chosen for it.

    ``remembered`` is what the plant remembers of its last list. ``whole``: what the list does not name is removed.
    """

    name: str
    tables: tuple[Table, ...]
    remembered: Choices
    choices: Choices
    faults: tuple[Fault, ...] = ()
    whole: bool = False

    def with_sheet(self, title: str, sheet: str) -> Brought:
        """The list with another sheet for one of its tables; a table that had this sheet by choice gives it up."""
        titles = {table.title for table in self.tables}
        others = {
            other: NOT_READ if other in titles and kept == sheet else kept
            for other, kept in self.choices.chosen.sheets.items()
        }
        return self._with(Chosen({**others, title: sheet}, self.choices.chosen.columns))

    def with_column(self, sheet: str, heads: tuple[str, ...], head: str, key: str) -> Brought:
        """The list with another column for one of the heads of a sheet; a head that had this column by choice gives it up."""
        before = self.choices.chosen.columns.get(sheet, {})
        others = {other: NOT_READ if other in heads and kept == key else kept for other, kept in before.items()}
        columns = {**self.choices.chosen.columns, sheet: {**others, head: key}}
        return self._with(Chosen(self.choices.chosen.sheets, columns))

    def with_decimal(self, sign: str) -> Brought:
        """The list with what its comma means."""
        return replace(self, choices=replace(self.choices, decimal=SIGNS[sign]))

    def with_whole(self, *, whole: bool) -> Brought:
        """The list with the choice whether what it does not name is removed."""
        return replace(self, whole=whole)

    def _with(self, chosen: Chosen) -> Brought:
        return replace(self, choices=replace(self.choices, chosen=chosen))


@dataclass(frozen=True)
class Outcome:
    """What a list makes of a plant as it was at a version of the journal: its draft, and the preview of a valid one."""

    brought: Brought
    version: object
    seen: int
    found: ReadList
    draft: Draft
    preview: Preview | None

    def to_remember(self) -> Choices:
        """Sheets and columns as they were read, over what is remembered of earlier lists."""
        sheets = {title: sheet for title, sheet in self.brought.choices.chosen.sheets.items() if sheet == NOT_READ}
        return self.found.choices().over(Choices(Chosen(sheets))).over(self.brought.remembered)


@dataclass
class _Place:
    """Where the list of a plant is kept in this browser session; ``turn`` numbers its lists, for the keys of widgets.

    ``put_away`` counts those put away, so that the upload box is empty afterwards.
    """

    brought: Brought | None = None
    outcome: Outcome | None = None
    turn: int = 0
    put_away: int = 0
    upload: str = ""


def _place(live: Live) -> _Place:
    name = f"list of plant {live.key}"
    place: _Place | None = state.get(name)
    if place is None:
        place = _Place()
        state.put(name, place)
    return place


def of(live: Live) -> Brought | None:
    """The list brought to a plant in this browser."""
    return _place(live).brought


def turn(live: Live) -> int:
    """Number of the list, from 0: widgets of another list have other keys."""
    return _place(live).turn


def uploads(live: Live) -> int:
    """Number of the upload box: a list that is put away leaves an empty one."""
    return _place(live).put_away


def begin(live: Live, upload: str, name: str, raw: Callable[[], bytes], remembered: Choices) -> None:
    """Read the tables of an upload, unless it is the one that is here already."""
    place = _place(live)
    if place.upload == upload:
        return
    faults: tuple[Fault, ...] = ()
    tables: list[Table] = []
    try:
        tables = list_file.read(name, raw())
    except Refused as refused:
        faults = refused.faults
    # The decimal sign of the last list is no reason to read this one in the same way.
    choices = Choices(remembered.chosen)
    place.brought, place.outcome, place.upload = Brought(name, tuple(tables), remembered, choices, faults), None, upload
    place.turn += 1


def keep(live: Live, brought: Brought) -> None:
    """Keep the list with what was chosen."""
    _place(live).brought = brought


def put_away(live: Live) -> None:
    """Forget the list, and the upload it came from."""
    place = _place(live)
    place.brought, place.outcome, place.upload = None, None, ""
    place.put_away += 1


def known(live: Live, current: State) -> Outcome | None:
    """The outcome that was computed for the list and the plant as they are; None where something changed since."""
    place = _place(live)
    outcome = place.outcome
    same = outcome is not None and outcome.brought is place.brought and outcome.version == current.version
    return outcome if same else None


def outcome_of(live: Live, current: State, brought: Brought, step: Callable[[str], object]) -> Outcome:
    """What a list makes of the plant; ``step`` is told what is being done."""
    step("Reading the rows …")
    found = list_import.read(brought.tables, brought.choices)
    step("Putting them into the plant …")
    draft = list_import.onto(current.plant, found, whole=brought.whole)
    step("Comparing entries and results …")
    seen = None if draft.plant is None else preview.preview(current, draft.plant)
    outcome = Outcome(brought, current.version, current.version.data, found, draft, seen)
    _place(live).outcome = outcome
    return outcome
