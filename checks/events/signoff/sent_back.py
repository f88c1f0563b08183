"""A revision sent back to the team by a reviewer."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """Revision ``number`` is sent back; ``comments`` say what needs rework, ``half`` is the half of the reviewer."""

    KIND = "sent-back"
    PERMISSION = "send back"

    number: int
    half: str
    comments: str
