"""The variants of this browser session, by function. They are stored nowhere else until one is taken over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from checks.state.live import Live, State
from checks.variants.variant import MOST, Variant
from pages.ui import state

NAMES = ("A", "B", "C", "D")


def of_function(live: Live, current: State, function: str) -> list[Variant]:
    """The variants of a function; what a variant says of a group that the plant no longer has is left out."""
    kept: Sequence[Variant] = state.get(_key(live, function), ())
    groups = current.plant.functions[function].group_ids
    return [
        replace(each, cells={group: cells for group, cells in each.cells.items() if group in groups}) for each in kept
    ]


def keep(live: Live, function: str, variants: Iterable[Variant]) -> None:
    """Keep the variants of a function."""
    state.put(_key(live, function), tuple(variants))


def free_name(variants: Iterable[Variant]) -> str | None:
    """The next free name; None where there are as many variants as are shown side by side."""
    taken = {variant.name for variant in variants}
    return next((name for name in NAMES[:MOST] if name not in taken), None)


def _key(live: Live, function: str) -> str:
    return f"variants {live.key} {function}"
