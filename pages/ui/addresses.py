"""The screens by their address, so that one screen can lead to another without importing it."""

from __future__ import annotations

from typing import Any

_PAGES: dict[str, Any] = {}


def know(pages: dict[str, Any]) -> None:
    """Register the screens by address; app.py does so on every run."""
    _PAGES.update(pages)


def page(url_path: str) -> Any:
    """The screen at an address."""
    return _PAGES[url_path]
