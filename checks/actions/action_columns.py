"""Columns of the list of actions: what each holds, whether a spreadsheet may change it, and what is allowed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from checks.actions.action_rules import ENDED, age, expected_effect, overdue
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import CASES
from checks.events.plant.action import FIRST_DAY, LAST_DAY, MOST_QUESTIONS, Action, day
from checks.text.number_format import NONE, measure, measure_name

Part = Literal["fixed", "changes", "ended", "shown"]
"""``fixed``: set when the action is raised. ``changes``: a spreadsheet may change it. ``ended``: set when it ends.
``shown``: computed, and not read back."""

DATE = f"write a date as 2025-03-04, {FIRST_DAY.year} to {LAST_DAY.year}"
VALUES = "met, partly, not-met, unknown, equivalent or not-applicable; level-a to level-e where levels are asked"
MADE_FROM = "leave it empty: an action with a change is made under What to fix first"
NOT_HERE = "open or done; close or drop an action in the program, with the fields that this needs"


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``read`` converts the text of a cell to the value of the field; it raises ValueError where it cannot."""

    name: str
    field: str
    part: Part
    width: int
    allowed: str
    read: Callable[[str], Any] = str


def _day(cell: str) -> Any:
    return day(cell.strip())


def _word(cell: str) -> str:
    return cell.strip().casefold()


def _state(cell: str) -> str:
    word = _word(cell)
    if word not in ("open", "done"):
        raise ValueError(NOT_HERE)
    return word


def _no_change(_cell: str) -> Any:
    raise ValueError(MADE_FROM)


def _questions(cell: str) -> list[dict[str, str]]:
    """Questions of a text such as ``SEP1 of group:pt-301; PRO1 of plant``."""
    asked: list[dict[str, str]] = []
    for part in cell.replace("\n", ";").split(";"):
        if part.strip():
            question, between, of = part.strip().rpartition(" of ")
            if not between or len(asked) == MOST_QUESTIONS:
                raise ValueError("a question without addressee, or too many")
            asked.append({"question": question.strip(), "of": of.strip()})
    return asked


COLUMNS = (
    Column("Id", "id", "fixed", 8, "an id of this list, or nothing for a new action", str.strip),
    Column("What", "what", "fixed", 50, "what is to be done, in at most 2000 characters"),
    Column("System", "system", "fixed", 10, "the id of a safety system, or nothing", lambda cell: cell.strip() or None),
    Column(
        "Questions",
        "questions",
        "fixed",
        28,
        f"as in SEP1 of group:pt-301; PRO1 of plant, at most {MOST_QUESTIONS}",
        _questions,
    ),
    Column("Answer from", "answer_from", "fixed", 12, VALUES, _word),
    Column("Answer expected", "answer_to", "fixed", 12, VALUES, _word),
    Column("Expected effect", "effect", "shown", 34, ""),
    Column("Owner", "owner", "changes", 22, "a role, in at most 200 characters"),
    Column("Due", "due", "changes", 12, DATE, _day),
    Column("Interim measure", "interim", "changes", 40, "at most 2000 characters"),
    Column("Change reference", "change", "changes", 18, "as in MOC-25-009, in at most 200 characters"),
    Column("State", "state", "changes", 10, NOT_HERE, _state),
    Column("Reason", "reason", "ended", 30, "why it was dropped"),
    Column("Raised on", "raised_on", "fixed", 12, DATE, _day),
    Column("Raised by", "raised_by", "fixed", 22, "a role, in at most 200 characters"),
    Column("Age in days", "age", "shown", 10, ""),
    Column("Overdue", "overdue", "shown", 10, ""),
    Column("Evidence", "evidence", "ended", 40, "what shows that it is done"),
    Column("Closed on", "closed_on", "ended", 12, DATE, _day),
    Column("Verifier", "verifier", "ended", 22, "somebody other than the action owner"),
    Column("Times reopened", "reopened", "shown", 10, ""),
    Column("Allowed change", "plant_change", "fixed", 28, MADE_FROM, _no_change),
)
BY_NAME = {column.name: column for column in COLUMNS}
Cell = str | int | date


def cell(action: Action, column: Column) -> Cell:
    """The cell of a column that is read back: a text, or a day."""
    value = getattr(action, column.field)
    if column.field == "questions":
        return "; ".join(map(str, value))
    return "" if value is None else value if isinstance(value, date) else str(value)


def line(action: Action, assessment: Assessment, *, today: date) -> dict[str, Cell]:
    """One row of the list, by column name."""
    shown: dict[str, Cell] = {
        "effect": _effect(action, assessment),
        "age": age(action, today),
        "overdue": "yes" if overdue(action, today) else "no",
        "reopened": action.reopened,
    }
    return {column.name: shown[column.field] if column.part == "shown" else cell(action, column) for column in COLUMNS}


def _effect(action: Action, assessment: Assessment) -> str:
    """Functions that would change; nothing for an ended action, which counts already."""
    if action.state in ENDED or not (action.questions or action.plant_change):
        return NONE
    moved = expected_effect(action, assessment).moved
    if not moved:
        return "moves no function by 1 % or more"
    moves = (
        f"{move.function}: {measure_name(move.demand)} {measure(move.demand, move.now)} → {measure(move.demand, move.then)}"
        for move in moved
    )
    case = CASES["scored" if moved[0].case == "scored" else "adjusted"]
    return f"{len(moved)} functions move. " * (len(moved) > 1) + "; ".join(moves) + f" ({case})"
