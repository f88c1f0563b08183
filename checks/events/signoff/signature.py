"""A signature of one half of a revision."""

from __future__ import annotations

from typing import Any

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """``signature`` is over the canonical form of ``statement``; ``key`` is the id of the public key ``public``."""

    KIND = "signature"
    PERMISSION = "sign"
    CARRIES = ("statement",)

    number: int
    half: str
    key: str
    public: str
    statement: dict[str, Any]
    signature: str
