"""A revision that a reviewer gives back to the team."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """Revision ``number`` goes back, with what must be looked at again; ``half`` is that of the reviewer."""

    KIND = "sent-back"
    PERMISSION = "send back"

    number: int
    half: str
    comments: str
