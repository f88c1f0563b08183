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


def devices_in(channels: Any) -> list[str]:
    """Ids of the devices in the channels of a group, those inside redundant elements in their places."""
    parts = (part for channel in as_list(channels) for part in as_list(channel))
    lists = (as_list(part.get("of")) if isinstance(part, dict) else [part] for part in parts)
    return [str(name) for names in lists for name in names if isinstance(name, str | int)]


def elements_of(key: str, group: dict[str, Any]) -> Iterator[tuple[Place, dict[str, Any]]]:
    """The redundant elements inside the channels of a group, with their places."""
    for at, channel in enumerate(as_list(group.get("channels"))):
        for number, part in enumerate(as_list(channel)):
            if isinstance(part, dict):
                yield ("groups", key, "channels", at, number), part


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
