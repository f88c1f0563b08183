"""Checks of what somebody typed into a field: a date, a text that is missing or too long."""

from __future__ import annotations

from datetime import date

from checks.text.faults import Fault


def day_faults(place: str, text: str) -> list[Fault]:
    """What is wrong with a date that somebody typed. Only one way to write it is taken, since dates are compared as text."""
    try:
        wrong = date.fromisoformat(text).isoformat() != text
    except ValueError:
        wrong = True
    return [Fault(place, f"found {text!r}", "write a date as 2025-03-04")] if wrong else []


def missing(place: str, text: str, allowed: str) -> list[Fault]:
    """A fault where a text is empty."""
    return [] if text.strip() else [Fault(place, "missing", allowed)]


def too_long(place: str, text: str, most: int = 2000) -> list[Fault]:
    """A fault where a text is longer than the store keeps."""
    return [Fault(place, f"{len(text)} characters", f"at most {most}")] if len(text) > most else []
