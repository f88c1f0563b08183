"""Attendance of a session of a system."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from checks.journal.event_body import SystemEvent


class Attendee(BaseModel):
    """A person who attended, and their role there."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    name: str
    role: str


class Body(SystemEvent):
    """People who attended on day ``on``."""

    KIND = "attendance"
    PERMISSION = "record attendance"
    TAKES_PART = True
    DID = "recorded attendance"
    NAMED_DID = "attended a session"

    on: str
    people: tuple[Attendee, ...]

    def names(self) -> tuple[str, ...]:
        """The people who attended."""
        return tuple(attendee.name for attendee in self.people)

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """The people who attended."""
        return tuple((f"people, {at}", attendee.name) for at, attendee in enumerate(self.people, start=1))
