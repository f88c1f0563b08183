"""Plain data of a plant file before its types are checked: blocks, entries, faults with their place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from checks.text.faults import Fault
from checks.text.yaml_text import Place, written

Found = tuple[Place, Fault]
"""A fault with its place."""


def found(place: Place, what: str, allowed: str) -> Found:
    """A fault with its place."""
    return place, Fault(written(place), what, allowed)


def block(raw: dict[str, Any], name: str) -> dict[str, Any]:
    """A block of the file, or a mapping inside an entry; empty where it is missing or no mapping."""
    mapping = raw.get(name)
    return mapping if isinstance(mapping, dict) else {}


def entries(raw: dict[str, Any], name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Entries of a block that are mappings, by id."""
    for key, value in block(raw, name).items():
        if isinstance(value, dict):
            yield key, value


def as_list(value: Any) -> list[Any]:
    """A list; empty for anything else."""
    return value if isinstance(value, list) else []


def number(value: Any) -> float | None:
    """A number; None for anything else."""
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


def known(ids: Iterable[str], kind: str) -> str:
    """The first ids of a kind in words."""
    first_ids = list(islice(ids, 13))
    shown = ", ".join(first_ids[:12]) + (", …" if len(first_ids) > 12 else "")
    return f"known {kind}: {shown or 'none'}"


def unknown(place: Place, name: Any, entities: dict[str, Any], kind: str) -> Iterator[Found]:
    """A fault where a name is not among the entities of its kind."""
    if isinstance(name, str | int) and str(name) not in entities:
        yield found(place, f"{name} is not among the {kind}", known(entities, kind))
