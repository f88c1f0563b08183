"""Places of the plant file, such as ``groups.pt-301.proof_test``: the value there, and the entry it belongs to."""

from __future__ import annotations

from typing import Any

from checks.plantfile.plant import Plant


def entry_of(place: str) -> tuple[str, str]:
    """Block and entry of a place; the entry is empty where the place is a whole block.

    >>> entry_of("groups.pt-301.proof_test"), entry_of("conduits")
    (('groups', 'pt-301'), ('conduits', ''))
    """
    block, _, rest = place.partition(".")
    return block, rest.rpartition(".")[0]


def value_at(plant: Plant, place: str) -> Any:
    """The value at a place of a plant; None where the plant does not have the entry or the field."""
    block, entry = entry_of(place)
    entries = getattr(plant, block, {})
    if not entry:
        return entries
    return getattr(entries.get(entry), place.rpartition(".")[2], None)
