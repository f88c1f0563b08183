"""A residual risk that the asset owner accepts: a gap that stays, for a reason and until a day."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """``value`` is the answer when the gap was accepted; events of the first releases have none."""

    KIND = "gap-accepted"
    PERMISSION = "accept a residual risk"
    TAKES_PART = True
    DID = "accepted residual risks"

    zone: str
    question: str
    value: str = ""
    reason: str
    until: str
