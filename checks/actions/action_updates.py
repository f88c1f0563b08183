"""The changes in an edited list of actions: updates of known actions and new ones, or all faults at once.

Nothing is stored here. A row equal to the stored action changes nothing, so importing the same list twice is safe.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.actions.action_columns import BY_NAME, COLUMNS, Column, cell
from checks.actions.action_rules import ENDED, check, name_faults, next_id, reopened
from checks.events.plant.action import Action
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import Form
from checks.spreadsheets.sheet import Row
from checks.text.faults import Fault, Refused
from checks.text.number_format import NONE

NEEDED = ("Id", "What")
_KEY = ("what", "system", "questions")
"""Two actions with equal values in these fields are the same action."""

_NEW_FIELDS = (*_KEY, "answer_from", "answer_to", "plant_change", "owner", "due", "interim", "change", "state")
"""Fields that a new row may set."""

_PLACEHOLDERS = {"what": NONE, "owner": NONE, "raised_by": NONE}
"""Placeholders for required fields while the other cells of a faulty row are checked."""

_BY_FIELD = {column.field: column for column in COLUMNS}
_KNOWN_COLUMNS = f"columns of the list: {', '.join(BY_NAME)}"


@dataclass(frozen=True, slots=True)
class Update:
    """A known action before and after the changes of its row."""

    row: int
    before: Action
    after: Action

    @property
    def fields(self) -> tuple[str, ...]:
        """Names of the fields that change."""
        return tuple(name for name in Action.model_fields if getattr(self.before, name) != getattr(self.after, name))


@dataclass(frozen=True, slots=True)
class Proposed:
    """The changes in a list, shown before they are stored; ``unchanged`` counts the rows without a change."""

    updates: tuple[Update, ...]
    new: tuple[Action, ...]
    unchanged: int


@dataclass(frozen=True, slots=True)
class Held:
    """What a list is compared with: the present actions, the plant, who imports it, and the day."""

    actions: Sequence[Action]
    plant: Plant
    by: str
    today: date


def proposed(name: str, rows: Sequence[Row], present: Held, form: Form) -> Proposed:
    """The changes in the rows of a list; raises Refused with all its faults. ``name`` is the file name used in faults."""
    at = next((at for at, (_, cells) in enumerate(rows) if set(NEEDED) <= {name.strip() for name in cells}), None)
    if at is None:
        raise Refused(name, [Fault("(file)", "no row with the column names Id and What", _KNOWN_COLUMNS)])
    reader = _Reader(present, form)
    reader.head(*rows[at])
    for number, cells in rows[at + 1 :]:
        reader.row(number, cells)
    if reader.faults:
        raise Refused(name, reader.faults)
    return Proposed(tuple(reader.updates), tuple(reader.new), reader.unchanged)


def matter(action: Action) -> tuple[Any, ...]:
    """What makes an action the same as another one: its text, system and questions."""
    return tuple(getattr(action, name) for name in _KEY)


def _same_input(action: Action, other: Action) -> bool:
    return all(getattr(action, name) == getattr(other, name) for name in _NEW_FIELDS)


def place(row: int, column: str) -> str:
    """The place of a cell in words."""
    return f"row {row}, column {column}"


def _excerpt(text: str) -> str:
    if not text.strip():
        return "empty"
    return f"found {text!r}" if len(text) <= 60 else f"found {text[:57]!r} and {len(text) - 57:,} characters more"


@dataclass
class _Reader:
    """Reads the rows one by one and collects their changes and faults."""

    present: Held
    form: Form
    faults: list[Fault] = field(default_factory=list)
    updates: list[Update] = field(default_factory=list)
    new: list[Action] = field(default_factory=list)
    unchanged: int = 0

    def __post_init__(self) -> None:
        self._columns: dict[int, Column | None] = {}
        self._known = {action.id: action for action in self.present.actions}
        self._same = {matter(action): action for action in self.present.actions}
        self._row_of: dict[str, int] = {}
        self._first = next_id(self._known)

    def fault(self, row: int, column: str, found: str, allowed: str) -> None:
        """Add a fault of a cell."""
        self.faults.append(Fault(place(row, column), found, allowed))

    def head(self, row: int, cells: Sequence[str]) -> None:
        """Read the column names, in any order; optional columns may be missing."""
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
        """Read one row; a row without any cell to read back is ignored."""
        for at, text in enumerate(cells):
            if at not in self._columns and text.strip():
                self.fault(number, str(at + 1), _excerpt(text), "leave cells without a column name empty")
        read = ((at, column) for at, column in self._columns.items() if column is not None and column.part != "shown")
        texts = {column: cells[at] if at < len(cells) else "" for at, column in read}
        if not any(text.strip() for text in texts.values()):
            return
        key = texts.pop(BY_NAME["Id"]).strip()
        if not key:
            self._read_new(number, texts)
        elif key not in self._known:
            known = sorted(self._known, key=lambda action_id: (len(action_id), action_id))
            span = f"{known[0]} to {known[-1]}" if known else "none yet"
            self.fault(number, "Id", _excerpt(key), f"known ids: {span}; leave it empty for a new action")
        elif key in self._row_of:
            self.fault(number, "Id", f"{key} is in row {self._row_of[key]} already", "each action in one row")
        else:
            self._row_of[key] = number
            self._update_known(number, self._known[key], texts)

    def _update_known(self, number: int, action: Action, texts: dict[Column, str]) -> None:
        faults_before = len(self.faults)
        changed = {
            column: text for column, text in texts.items() if not self.form.same(text, str(cell(action, column)))
        }
        for column, text in changed.items():
            if column.part != "changes":
                self.fault(number, column.name, _excerpt(text), "a list does not change this; change it in the program")
        fields, bad = self._read(number, {column: text for column, text in changed.items() if column.part == "changes"})
        fields = {name: value for name, value in fields.items() if value != getattr(action, name)}
        if fields and action.state in ENDED:
            self.fault(number, "Id", f"{action.id} is {action.state}", "reopen it in the program before changing it")
            return
        before = reopened(action) if (action.state, fields.get("state")) == ("done", "open") else action
        after = self._action(number, {**before.model_dump(), **fields}, bad)
        earlier = check(action)  # a fault that the action had already is not the list's
        wrong = [*(fault for fault in check(after) if fault not in earlier), *name_faults(after, action)]
        self._report(number, wrong, bad)
        if len(self.faults) == faults_before and fields:
            self.updates.append(Update(number, action, after))
        self.unchanged += not fields

    def _read_new(self, number: int, texts: dict[Column, str]) -> None:
        faults_before = len(self.faults)
        filled = {column: text for column, text in texts.items() if text.strip()}
        for column, text in filled.items():
            if column.field not in _NEW_FIELDS:
                self.fault(number, column.name, _excerpt(text), "leave it empty for a new action")
        fields, bad = self._read(
            number, {column: text for column, text in filled.items() if column.field in _NEW_FIELDS}
        )
        key = next_id([self.new[-1].id]) if self.new else self._first
        by_hand = {"id": key, "raised_on": self.present.today, "raised_by": self.present.by}
        action = self._action(number, {**by_hand, **fields}, bad)
        same = self._same.get(matter(action))
        if len(self.faults) == faults_before and same and same.id in self._known and _same_input(same, action):
            self.unchanged += 1  # imported before, perhaps when its due day was still ahead
            return
        self._report(number, [*check(action, self.present.plant), *name_faults(action)], bad)
        if len(self.faults) == faults_before:
            self._add(number, action)

    def _add(self, number: int, action: Action) -> None:
        same = self._same.setdefault(matter(action), action)
        if same is action:
            self.new.append(action)
            self._row_of[action.id] = number
        elif same.id in self._known:
            why = f"the same as {same.id}, which is {same.state}"
            self.fault(number, "What", why, f"write {same.id} as its id to change that one, or say what is different")
        else:
            self.fault(number, "What", f"the same as row {self._row_of[same.id]}", "each action in one row")

    def _read(self, number: int, texts: dict[Column, str]) -> tuple[dict[str, Any], set[str]]:
        """Values of the cells by their fields, and the fields whose cells cannot be read."""
        fields: dict[str, Any] = {}
        bad: set[str] = set()
        for column, text in texts.items():
            try:
                fields[column.field] = column.read(self.form.read(text))
            except ValueError:
                self.fault(number, column.name, _excerpt(text), column.allowed)
                bad.add(column.field)
        return fields, bad

    def _action(self, number: int, fields: dict[str, Any], bad: set[str]) -> Action:
        """The action of these fields. An invalid field is reported, added to ``bad`` and replaced by a placeholder.

        The placeholder lets the other checks of the row run, so all its faults are reported at once.
        """
        try:
            return Action.model_validate(fields)
        except ValidationError as error:
            wrong = {str(detail["loc"][0]): detail for detail in error.errors(include_url=False)}
        for name, detail in wrong.items():
            if name not in bad:
                why = _excerpt("" if detail["type"] == "missing" else str(detail["input"]))
                self.fault(number, _BY_FIELD[name].name, why, _BY_FIELD[name].allowed)
        bad.update(wrong)
        kept = {name: value for name, value in fields.items() if name not in wrong}
        return Action.model_validate({**_PLACEHOLDERS, "due": self.present.today, **kept})

    def _report(self, number: int, wrong: Iterable[Fault], bad: set[str]) -> None:
        for fault in wrong:
            if fault.place not in bad:
                self.fault(number, _BY_FIELD[fault.place].name, fault.found, fault.allowed)
