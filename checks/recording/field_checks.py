"""Checks of typed fields: dates, and texts that are missing or too long."""

from __future__ import annotations

from unicodedata import east_asian_width

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


LONG_WORD = 20
"""Letters of a text that says something even as one word (house rule): some languages write words together."""


def says_little(text: str, words: int) -> bool:
    """Whether a text has fewer than this many words; two characters of a script without spaces count as a word.

    >>> says_little("independent", 3), says_little("no part in it", 3), says_little("未参加该评审工作", 3)
    (True, False, False)
    """
    wide = sum(east_asian_width(character) in "WF" for character in text)
    return len(text) < LONG_WORD and max(len(text.split()), wide // 2) < words


def too_little(place: str, text: str, allowed: str, *, letters: int = 1, words: int = 1) -> list[Fault]:
    """A fault for a text that is missing, or shorter than what says something; ``allowed`` says what to enter."""
    given = text.strip()
    if not given:
        return missing(place, text, allowed)
    if len(given) < letters or says_little(given, words):
        return [Fault(place, f"found {given!r}, which says nothing", allowed)]
    return []


def too_long(place: str, text: str, most: int = 2000) -> list[Fault]:
    """A fault for a text of more than ``most`` characters."""
    return [Fault(place, f"{len(text)} characters", f"at most {most}")] if len(text) > most else []
