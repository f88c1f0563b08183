"""A comment on a revision by a reviewer, or a reply to one; neither ends the review nor takes part in the work."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """A comment on revision ``number`` for a ``half``; ``reply_to`` is the number of the event that it answers, if any."""

    KIND = "review-comment"
    PERMISSION = "comment on a review"

    number: int
    half: str
    text: str
    reply_to: int | None = None
