"""Checks of typed fields: dates, and texts that are missing or too long."""

from __future__ import annotations

from datetime import date

from checks.text.faults import Fault


def day_faults(place: str, text: str) -> list[Fault]:
    """Faults of a typed date. Only the form 2025-03-04 is accepted, since dates are compared as text."""
    try:
        wrong = date.fromisoformat(text).isoformat() != text
    except ValueError:
        wrong = True
    return [Fault(place, f"found {text!r}", "write a date as 2025-03-04")] if wrong else []


def missing(place: str, text: str, allowed: str) -> list[Fault]:
    """A fault for an empty text; ``allowed`` says what to enter."""
    return [] if text.strip() else [Fault(place, "missing", allowed)]


def too_long(place: str, text: str, most: int = 2000) -> list[Fault]:
    """A fault for a text of more than ``most`` characters."""
    return [Fault(place, f"{len(text)} characters", f"at most {most}")] if len(text) > most else []
