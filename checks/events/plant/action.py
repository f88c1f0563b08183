"""An action after each step: raised, changed, done, closed, dropped, reopened."""

from __future__ import annotations

import json
import re
from collections.abc import Container
from datetime import date
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

from checks.allowed_changes.change import GroupChange, What, in_words
from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.plantfile.fields import Id, Name, Text, Value

FIRST_DAY, LAST_DAY = date(1990, 1, 1), date(2199, 12, 31)
"""Dates outside this range are typing errors, such as the year 0225 (house rule)."""

MOST_QUESTIONS = 100
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day(value: Any) -> Any:
    """The date of a text such as 2025-03-04; other types pass unchanged. Raises ValueError for any other text."""
    if not isinstance(value, str):
        return value
    if not _DAY.fullmatch(value):
        raise ValueError("write a date as 2025-03-04")
    return date.fromisoformat(value)


Day = Annotated[date, Field(ge=FIRST_DAY, le=LAST_DAY), BeforeValidator(day)]
ActionId = Annotated[str, StringConstraints(pattern=r"^A-[0-9]{3,6}$")]
State = Literal["open", "done", "closed", "dropped"]
"""``done``: reported by the owner, awaiting verification. ``dropped``: given up, with a reason."""


class Asked(BaseModel):
    """A question and its addressee."""

    model_config = ConfigDict(extra="ignore", frozen=True, strict=True)

    question: Annotated[str, StringConstraints(pattern=r"^[\w.-]+( [\w.-]+)*$", max_length=64)]
    of: Annotated[str, StringConstraints(pattern=r"^(plant|(system|group|zone):\w[\w.-]*)$", max_length=80)]

    def __str__(self) -> str:
        return f"{self.question} of {self.of}"


class PlantChange(BaseModel):
    """A change of a group that an action makes, from the value ``was`` at the time it was raised."""

    model_config = ConfigDict(extra="ignore", frozen=True, strict=True)

    group: Id
    change: What
    test: Name = ""
    was: Annotated[str, StringConstraints(min_length=1, max_length=40)]
    to: Annotated[str, StringConstraints(min_length=1, max_length=40)]

    @property
    def allowed(self) -> GroupChange:
        """The change."""
        return GroupChange(self.group, self.change, self.test, self.to)

    def __str__(self) -> str:
        return in_words(self.allowed, self.was)


class Action(EventBody):
    """One action. ``answer_to`` is the expected answer, not a given one; dates are days of the plant's calendar."""

    model_config = ConfigDict(extra="forbid")

    KIND = "action"
    PERMISSION = "raise or change an action"
    TAKES_PART = True
    DID = "raised or changed an action"
    NAMED_DID = "verified an action"

    id: ActionId
    what: Annotated[Text, StringConstraints(min_length=1)]
    system: Id | None = None
    questions: Annotated[tuple[Asked, ...], Field(strict=False, max_length=MOST_QUESTIONS)] = ()
    answer_from: Value = "unknown"
    answer_to: Value = "met"
    owner: Annotated[Name, StringConstraints(min_length=1)]
    due: Day
    interim: Text = ""
    change: Name = ""
    raised_on: Day
    raised_by: Name
    state: State = "open"
    reason: Text = ""
    evidence: Text = ""
    closed_on: Day | None = None
    verifier: Name = ""
    reopened: Annotated[int, Field(ge=0)] = 0
    plant_change: PlantChange | None = None

    @property
    def addressees(self) -> frozenset[str]:
        """Its system, the addressees of its questions, and the group that it changes."""
        of_system = () if self.system is None else (f"system:{self.system}",)
        return frozenset((*of_system, *self._of))

    @property
    def _of(self) -> tuple[str, ...]:
        changed = () if self.plant_change is None else (self.plant_change.allowed.of,)
        return (*(asked.of for asked in self.questions), *changed)

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it names the system, or a question or a change of one of its addressees."""
        return self.system == system or any(of in addressees for of in self._of)

    def names(self) -> tuple[str, ...]:
        """The person who verified it."""
        return (self.verifier,) if self.verifier else ()

    @classmethod
    def read(cls, event: Event) -> Self:
        """The action of an event; fields that a later release added are ignored, as typed ones are not."""
        fields = {name: value for name, value in event.content.items() if name in cls.model_fields}
        return cls.model_validate_json(json.dumps(fields))

    def data(self) -> dict[str, Any]:
        """All its fields as JSON data: each event holds the whole action, and of a change only where it makes one."""
        return self.model_dump(mode="json", exclude={"plant_change"} if self.plant_change is None else None)


Body = Action
