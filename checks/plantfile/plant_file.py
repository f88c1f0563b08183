"""Reading and writing plant files. A file with any fault is rejected as a whole, with all faults listed."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from itertools import chain, islice
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError

from checks.plantfile import consistency, entry_checks, formats
from checks.plantfile.answer_lines import answer_lines
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Plant
from checks.text import files, yaml_text
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import Block, NotYaml, Place, decoded, lines_of, parsed

MOST_LOOKED_AT = 2000
"""Faults beyond this number are counted, not listed."""
MOST_BLOCKS = 40
"""Blocks beyond this number are no plant file, which has nine."""
SPREADSHEET = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""First bytes of an XLSX workbook, and of the format before it."""


def _typed(raw: dict[str, Any]) -> tuple[Plant | None, list[tuple[Place, Fault]], int]:
    """The plant, or the faults of its types and the number of further ones."""
    try:
        return Plant.model_validate(raw), [], 0
    except ValidationError as error:
        count = error.error_count()
        if count <= MOST_LOOKED_AT:
            return None, [type_fault(detail) for detail in error.errors(include_url=False)], 0
    _, listed, _ = _typed(_beginning(raw))  # with hundreds of thousands of faults only the first are worth listing
    return None, listed, count - len(listed)


def _beginning(value: Any, most: int = 40) -> Any:
    """The first entries of every block and list."""
    if isinstance(value, dict):
        return {key: _beginning(entry, most) for key, entry in islice(value.items(), most)}
    return [_beginning(entry, most) for entry in value[:most]] if isinstance(value, list) else value


def from_data(
    raw: dict[str, Any], *, reported: Collection[str] = ()
) -> tuple[Plant | None, list[tuple[Place, Fault]], int]:
    """The plant in plain data, or None; all its faults with their places; the number of faults beyond those listed.

    ``reported`` are places whose faults are known already.
    """
    plant, typed, unlisted = _typed(raw)
    wrong = [(place, fault) for place, fault in typed if fault.place not in reported]
    known = {*reported, *(fault.place for _, fault in wrong)}
    checks = chain(consistency.faults(raw), formats.faults(raw))
    inconsistent = ((place, fault) for place, fault in checks if fault.place not in known)
    wrong += islice(inconsistent, MOST_LOOKED_AT)
    unlisted += sum(1 for _ in islice(inconsistent, 1))  # at least one more; finding all would take too long
    return (None if wrong else plant), wrong, unlisted


def from_text(name: str, text: str) -> Plant:
    """Plant from the text of a plant file; raises Refused with all its faults, which call the file ``name``.

    Where the file has a fault of syntax, those of its other blocks are listed too, as far as each shows them alone.
    """
    try:
        raw, form = parsed(name, text)
    except NotYaml as unreadable:
        raise Refused(name, _block_by_block(text) or unreadable.faults) from unreadable
    plant, wrong, unlisted = from_data(raw, reported={fault.place for fault in form})
    if plant is None or wrong or form:
        lines = lines_of(text, {place for place, _ in wrong})
        placed = [
            Fault(fault.place, fault.found, fault.allowed, lines[place] if place else 1) for place, fault in wrong
        ]
        raise Refused(name, sorted([*form, *placed], key=lambda fault: fault.line or 0), unlisted=unlisted)
    return plant


def _block_by_block(text: str) -> list[Fault]:
    """Faults of a text with a fault of syntax, block by block; none where it has no blocks, or more than a plant file."""
    found = yaml_text.blocks(text)
    if len(found) > MOST_BLOCKS:
        return []
    readable: dict[str, tuple[Block, Any]] = {}
    faults: list[Fault] = []
    for block in found:
        try:
            data, form = parsed("", block.text)
            readable[block.key] = block, data[block.key]
        except Refused as refused:
            form = list(refused.faults)
        faults += [_moved(fault, block) for fault in form]
    if not any(fault.found.startswith("not readable") for fault in faults):
        return []  # the fault of syntax lies between the blocks
    _, typed, _ = _typed({key: data for key, (_, data) in readable.items()})
    for block, _ in readable.values():
        own = [(place, fault) for place, fault in typed if place[:1] == (block.key,)]
        lines = lines_of(block.text, {place for place, _ in own})
        faults += [_moved(replace(fault, line=lines[place]), block) for place, fault in own]
    return sorted(faults, key=lambda fault: fault.line or 0)


def _moved(fault: Fault, block: Block) -> Fault:
    """A fault of a block at its line in the file."""
    return replace(fault, line=(fault.line or 1) + block.before)


def from_bytes(name: str, raw: bytes) -> Plant:
    """Plant from the bytes of an uploaded plant file; raises Refused."""
    if raw.startswith(SPREADSHEET):
        raise Refused(name, [Fault("(file)", "this is a spreadsheet", "bring it under Bring a list")])
    text = decoded(name, raw)
    plant = from_text(name, text)
    wrong = list(entry_checks.faults(plant))
    if wrong:
        lines = lines_of(text, {place for place, _ in wrong})
        raise Refused(name, [replace(fault, line=lines[place]) for place, fault in wrong])
    return plant


def read(path: Path) -> Plant:
    """Plant from a plant file on disk; raises Refused with all faults, also where the file cannot be opened."""
    return from_bytes(str(path), files.read(path, "a plant file", yaml_text.MOST_BYTES))


def empty(name: str) -> Plant:
    """A plant of format 2 without anything in it; raises Refused for a name that no plant can have."""
    raw = {"format": 2, "plant": {"name": name}, "devices": {}, "groups": {}, "functions": {}}
    plant, faults, _ = entered(raw)
    if plant is None:
        raise Refused("plant", [fault for _, fault in faults])
    return plant


def entered(raw: dict[str, Any]) -> tuple[Plant | None, list[tuple[Place, Fault]], int]:
    """``from_data`` for what somebody enters now, whose name and dates are looked at too."""
    plant, faults, unlisted = from_data(raw)
    wrong = faults if plant is None else list(entry_checks.faults(plant))
    return None if wrong else plant, wrong, unlisted


def plain(plant: Plant) -> dict[str, Any]:
    """Plain data of a plant as its file holds them, without values that are there by default."""
    data = formats.in_full(plant.model_dump(mode="json", exclude_defaults=True), plant)
    conventions = plant.conventions.model_dump(exclude_none=True)
    return {"format": plant.format, "plant": data.pop("plant"), "conventions": conventions, **data}


def to_text(plant: Plant) -> str:
    """Text of a plant file; reading it gives the same plant."""
    text = _dumped(plain(plant.model_copy(update={"answers": []})))
    return text + "\n".join(answer_lines(plant.answers, _scalar)) + "\n" if plant.answers else text


def _dumped(data: Any) -> str:
    return str(yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=120))


def _scalar(text: str) -> str:
    """Any text as a scalar of a mapping within a list."""
    return _dumped([{"text": text}]).removeprefix("- text: ").rstrip("\n")


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Quotes text that the strict reader would read as a number or another value."""


def _text(dumper: Any, text: str) -> Any:
    style = None if isinstance(yaml_text.plain(text), str) else "'"
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
