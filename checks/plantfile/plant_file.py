"""Plant file to Plant and back. A file is taken whole or refused whole, with every fault listed."""

from __future__ import annotations

from itertools import chain, islice
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError

from checks.plantfile import consistency, formats
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Plant
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import Place, decoded, lines_of, parsed, plain

MOST_LOOKED_AT = 2000
"""Faults beyond this are counted but not written out."""


def _typed(raw: dict[str, Any]) -> tuple[Plant | None, list[tuple[Place, Fault]], int]:
    """The plant, or what its types refuse and how many faults more there are of that kind."""
    try:
        return Plant.model_validate(raw), [], 0
    except ValidationError as error:
        count = error.error_count()
        if count <= MOST_LOOKED_AT:
            return None, [type_fault(one) for one in error.errors(include_url=False)], 0
    _, told, _ = _typed(_beginning(raw))  # a file of hundreds of thousands of faults: look at its beginning
    return None, told, count - len(told)


def _beginning(value: Any, most: int = 40) -> Any:
    """The first entries of every block and list."""
    if isinstance(value, dict):
        return {key: _beginning(held, most) for key, held in islice(value.items(), most)}
    return [_beginning(held, most) for held in value[:most]] if isinstance(value, list) else value


def from_text(name: str, text: str) -> Plant:
    """Plant of the text of a plant file; raises Refused with every fault of it. ``name`` is what faults call the file."""
    raw, form = parsed(name, text)
    plant, wrong, unlisted = _typed(raw)
    told = {fault.place for fault in form}
    wrong = [one for one in wrong if one[1].place not in told]
    told |= {fault.place for _, fault in wrong}
    linked = (one for one in chain(consistency.faults(raw), formats.faults(raw)) if one[1].place not in told)
    wrong += islice(linked, MOST_LOOKED_AT)
    unlisted += sum(1 for _ in islice(linked, 1))  # at least one more; finding all would take too long
    if plant is None or wrong or form:
        lines = lines_of(text, {place for place, _ in wrong})
        placed = [Fault(one.place, one.found, one.allowed, lines[place] if place else 1) for place, one in wrong]
        raise Refused(name, sorted([*form, *placed], key=lambda fault: fault.line or 0), unlisted=unlisted)
    return plant


def from_bytes(name: str, raw: bytes) -> Plant:
    """Plant of the bytes of an uploaded plant file."""
    return from_text(name, decoded(name, raw))


def read(path: Path) -> Plant:
    """Plant of a plant file on disk; raises Refused with every fault, also when it cannot be read at all."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        why = error.strerror or "cannot be read"
        raise Refused(str(path), [Fault("(file)", why, "name a plant file that can be read")]) from error
    return from_bytes(str(path), raw)


def to_text(plant: Plant) -> str:
    """Text of a plant file that reads back as the same plant."""
    data = formats.in_full(plant.model_dump(mode="json", exclude_defaults=True), plant)
    data = {"format": plant.format, "plant": data.pop("plant"), "conventions": plant.conventions.model_dump(), **data}
    return str(yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=120))


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Writes text so that the strict reader takes it for text again."""


def _text(dumper: Any, text: str) -> Any:
    style = None if isinstance(plain(text), str) else "'"
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
