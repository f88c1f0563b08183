"""The interval between two assessments of a system."""

from __future__ import annotations

from checks.journal.event_body import SystemEvent


class Body(SystemEvent):
    """``months`` is the interval between two assessments [months]."""

    KIND = "interval"
    PERMISSION = "set an interval"

    months: int
