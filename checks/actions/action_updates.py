"""What an edited list of actions asks for: changes to known actions and new ones, or every fault of it at once.

Nothing is stored here. A row that reads as it was written changes nothing, so that the same list taken twice changes
nothing the second time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.actions.action_columns import BY_NAME, COLUMNS, Column, cell
from checks.actions.actions import ENDED, check, next_id, reopened
from checks.events.plant.action import Action
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import Form
from checks.spreadsheets.sheet import Row
from checks.text.faults import Fault, Refused
from checks.text.number_format import NONE

NEEDED = ("Id", "What")
_KEY = ("what", "system", "questions")
"""Two actions that agree in these are the same one."""

_GIVEN = (*_KEY, "answer_from", "answer_to", "owner", "due", "interim", "change", "state")
"""What a new row may give."""

_IN_PLACE = {"what": NONE, "owner": NONE, "raised_by": NONE}
"""Stands for what cannot be left out, while the rest of a faulty row is looked at."""

_BY_FIELD = {column.field: column for column in COLUMNS}
_KNOWN_COLUMNS = f"columns of the list: {', '.join(BY_NAME)}"


@dataclass(frozen=True, slots=True)
class Update:
    """A known action as it is and as a row of the list would have it."""

    row: int
    before: Action
    after: Action

    @property
    def fields(self) -> tuple[str, ...]:
        """Names of the fields that change."""
        return tuple(name for name in Action.model_fields if getattr(self.before, name) != getattr(self.after, name))


@dataclass(frozen=True, slots=True)
class Proposed:
    """What a list asks for, to be shown before it is stored; ``unchanged`` counts the rows that ask for nothing."""

    updates: tuple[Update, ...]
    new: tuple[Action, ...]
    unchanged: int


@dataclass(frozen=True, slots=True)
class Held:
    """What a list is read against: the actions there are, the plant, and who hands it in on which day."""

    actions: Sequence[Action]
    plant: Plant
    by: str
    today: date


def proposed(name: str, rows: Sequence[Row], held: Held, form: Form) -> Proposed:
    """What the rows of a list ask for; raises Refused with every fault of it. ``name`` is what faults call the file."""
    at = next((at for at, (_, cells) in enumerate(rows) if set(NEEDED) <= {one.strip() for one in cells}), None)
    if at is None:
        raise Refused(name, [Fault("(file)", "no row with the column names Id and What", _KNOWN_COLUMNS)])
    reader = _Reader(held, form)
    reader.head(*rows[at])
    for number, cells in rows[at + 1 :]:
        reader.row(number, cells)
    if reader.faults:
        raise Refused(name, reader.faults)
    return Proposed(tuple(reader.updates), tuple(reader.new), reader.unchanged)


def _key(action: Action) -> tuple[Any, ...]:
    return tuple(getattr(action, name) for name in _KEY)


def _gives_the_same(one: Action, other: Action) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in _GIVEN)


def place(row: int, column: str) -> str:
    """Where a cell stands, in words."""
    return f"row {row}, column {column}"


def _short(text: str) -> str:
    if not text.strip():
        return "empty"
    return f"found {text!r}" if len(text) <= 60 else f"found {text[:57]!r} and {len(text) - 57:,} characters more"


@dataclass
class _Reader:
    """Takes the rows one by one and keeps what they ask for and what is wrong with them."""

    held: Held
    form: Form
    faults: list[Fault] = field(default_factory=list)
    updates: list[Update] = field(default_factory=list)
    new: list[Action] = field(default_factory=list)
    unchanged: int = 0

    def __post_init__(self) -> None:
        self._columns: dict[int, Column | None] = {}
        self._known = {one.id: one for one in self.held.actions}
        self._same = {_key(one): one for one in self.held.actions}
        self._row_of: dict[str, int] = {}
        self._first = next_id(self._known)

    def fault(self, row: int, column: str, found: str, allowed: str) -> None:
        """Note a fault of a cell."""
        self.faults.append(Fault(place(row, column), found, allowed))

    def head(self, row: int, cells: Sequence[str]) -> None:
        """Take the names of the columns, in any order; a column that may be left out may be missing."""
        for at, written in enumerate(cells):
            title = written.strip()
            if title in BY_NAME and BY_NAME[title] not in self._columns.values():
                self._columns[at] = BY_NAME[title]
            elif title:
                self._columns[at] = None
                known = title in BY_NAME
                found, allowed = ("listed twice", "each column once") if known else ("unknown column", _KNOWN_COLUMNS)
                self.fault(row, title, found, allowed)

    def row(self, number: int, cells: Sequence[str]) -> None:
        """Take one row; one without anything that is read back is none."""
        for at, text in enumerate(cells):
            if at not in self._columns and text.strip():
                self.fault(number, str(at + 1), _short(text), "leave cells without a column name empty")
        read = ((at, one) for at, one in self._columns.items() if one is not None and one.part != "shown")
        held = {one: cells[at] if at < len(cells) else "" for at, one in read}
        if not any(text.strip() for text in held.values()):
            return
        key = held.pop(BY_NAME["Id"]).strip()
        if not key:
            self._of_new(number, held)
        elif key not in self._known:
            known = sorted(self._known, key=lambda one: (len(one), one))
            span = f"{known[0]} to {known[-1]}" if known else "none yet"
            self.fault(number, "Id", _short(key), f"known ids: {span}; leave it empty for a new action")
        elif key in self._row_of:
            self.fault(number, "Id", f"{key} is in row {self._row_of[key]} already", "each action in one row")
        else:
            self._row_of[key] = number
            self._of_known(number, self._known[key], held)

    def _of_known(self, number: int, action: Action, held: dict[Column, str]) -> None:
        told = len(self.faults)
        changed = {one: text for one, text in held.items() if not self.form.same(text, str(cell(action, one)))}
        for column, text in changed.items():
            if column.part != "changes":
                self.fault(number, column.name, _short(text), "a list does not change this; change it in the program")
        fields, bad = self._read(number, {one: text for one, text in changed.items() if one.part == "changes"})
        fields = {name: value for name, value in fields.items() if value != getattr(action, name)}
        if fields and action.state in ENDED:
            self.fault(number, "Id", f"{action.id} is {action.state}", "reopen it in the program before changing it")
            return
        before = reopened(action) if (action.state, fields.get("state")) == ("done", "open") else action
        after = self._action(number, {**before.model_dump(), **fields}, bad)
        stood = check(action)  # what was wrong before is not the list's fault
        self._tell(number, [one for one in check(after) if one not in stood], bad)
        if len(self.faults) == told and fields:
            self.updates.append(Update(number, action, after))
        self.unchanged += not fields

    def _of_new(self, number: int, held: dict[Column, str]) -> None:
        told = len(self.faults)
        filled = {one: text for one, text in held.items() if text.strip()}
        for column, text in filled.items():
            if column.field not in _GIVEN:
                self.fault(number, column.name, _short(text), "leave it empty for a new action")
        fields, bad = self._read(number, {one: text for one, text in filled.items() if one.field in _GIVEN})
        key = next_id([self.new[-1].id]) if self.new else self._first
        by_hand = {"id": key, "raised_on": self.held.today, "raised_by": self.held.by}
        action = self._action(number, {**by_hand, **fields}, bad)
        same = self._same.get(_key(action))
        if len(self.faults) == told and same and same.id in self._known and _gives_the_same(same, action):
            self.unchanged += 1  # taken before, perhaps on a day when its due day still lay ahead
            return
        self._tell(number, check(action, self.held.plant), bad)
        if len(self.faults) == told:
            self._add(number, action)

    def _add(self, number: int, action: Action) -> None:
        same = self._same.setdefault(_key(action), action)
        if same is action:
            self.new.append(action)
            self._row_of[action.id] = number
        elif same.id in self._known:
            found = f"the same as {same.id}, which is {same.state}"
            self.fault(number, "What", found, f"write {same.id} as its id to change that one, or say what is different")
        else:
            self.fault(number, "What", f"the same as row {self._row_of[same.id]}", "each action in one row")

    def _read(self, number: int, held: dict[Column, str]) -> tuple[dict[str, Any], set[str]]:
        """Values of the cells by their fields, and the fields whose cells cannot be read."""
        fields: dict[str, Any] = {}
        bad: set[str] = set()
        for column, text in held.items():
            try:
                fields[column.field] = column.read(self.form.read(text))
            except ValueError:
                self.fault(number, column.name, _short(text), column.allowed)
                bad.add(column.field)
        return fields, bad

    def _action(self, number: int, fields: dict[str, Any], bad: set[str]) -> Action:
        """The action of these fields; each that is not allowed is told, joins ``bad``, and has something put in its place.

        So that whatever else is wrong with the row can be told too.
        """
        try:
            return Action.model_validate(fields)
        except ValidationError as error:
            wrong = {str(one["loc"][0]): one for one in error.errors(include_url=False)}
        for name, one in wrong.items():
            if name not in bad:
                found = _short("" if one["type"] == "missing" else str(one["input"]))
                self.fault(number, _BY_FIELD[name].name, found, _BY_FIELD[name].allowed)
        bad.update(wrong)
        kept = {name: value for name, value in fields.items() if name not in wrong}
        return Action.model_validate({**_IN_PLACE, "due": self.held.today, **kept})

    def _tell(self, number: int, wrong: Iterable[Fault], bad: set[str]) -> None:
        for one in wrong:
            if one.place not in bad:
                self.fault(number, _BY_FIELD[one.place].name, one.found, one.allowed)
