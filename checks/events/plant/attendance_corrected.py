"""A recorded attendance that was wrong: the person did not attend. The first entry stays in the journal."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """``name`` did not attend on day ``on``, although that was recorded; ``reason`` says how the entry came about."""

    KIND = "attendance-corrected"
    PERMISSION = "record attendance"
    TAKES_PART = True
    DID = "corrected an attendance"

    name: str
    on: str
    reason: str
