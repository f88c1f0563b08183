"""Checks of typed fields: dates, and texts that are missing or too long."""

from __future__ import annotations

from checks.text import days
from checks.text.faults import Fault


def day_faults(place: str, text: str) -> list[Fault]:
    """Faults of a typed date: only the form 2025-03-04 within the range of dates that somebody may enter."""
    return (
        [] if days.enterable(text) else [Fault(place, f"found {text!r}", f"write a date as 2025-03-04, {days.RANGE}")]
    )


def missing(place: str, text: str, allowed: str) -> list[Fault]:
    """A fault for an empty text; ``allowed`` says what to enter."""
    return [] if text.strip() else [Fault(place, "missing", allowed)]


def too_long(place: str, text: str, most: int = 2000) -> list[Fault]:
    """A fault for a text of more than ``most`` characters."""
    return [Fault(place, f"{len(text)} characters", f"at most {most}")] if len(text) > most else []
