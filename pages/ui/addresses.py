"""The screens by section and address, so that one screen can lead to another without importing it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Entry:
    """A screen: its section of the navigation (empty if it is not listed), title, page, and what draws it."""

    section: str
    title: str
    page: Any
    screen: Any


_ENTRIES: dict[str, Entry] = {}


def know(entries: dict[str, Entry]) -> None:
    """Register the screens by address; app.py does so on every run."""
    _ENTRIES.update(entries)


def entries() -> dict[str, Entry]:
    """All screens by address, in the order of the navigation."""
    return _ENTRIES


def entry(url_path: str) -> Entry:
    """The screen at an address."""
    return _ENTRIES[url_path]


def of(screen: Any) -> str:
    """The address of a screen."""
    return next(url_path for url_path, listed in _ENTRIES.items() if listed.screen is screen)
