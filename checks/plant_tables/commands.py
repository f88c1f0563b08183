"""The command ``import``: a list to a plant file, and the template of a list."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from checks.plant_tables import list_import, preview, template
from checks.plant_tables.list_import import Choices, ReadList
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text import files, yaml_text
from checks.text.faults import Fault, Refused, printable


def run(chosen: argparse.Namespace) -> int:
    """Run the command and return its exit status: 2 for a list, a plant file or a file of columns that is refused."""
    try:
        for line in _template(chosen.output) if chosen.template else _import(chosen):
            print(printable(line))
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    return 0


def _template(output: Path) -> Iterator[str]:
    files.write(output, template.empty())
    yield f"the template is in {output}"


def _import(chosen: argparse.Namespace) -> Iterator[str]:
    if chosen.list is None:
        raise Refused("import", [Fault("(command)", "no list is named", "name a list, or give --template")])
    base = plant_file.read(chosen.into) if chosen.into else plant_file.empty(chosen.list.stem)
    choices = _choices(chosen.columns) if chosen.columns else Choices()
    name = str(chosen.list)
    found = list_import.from_bytes(name, files.read(chosen.list, "a list", yaml_text.MOST_BYTES), choices)
    draft = list_import.onto(base, found)
    if draft.plant is None:
        faults = [Fault(fault.place, fault.found, fault.allowed) for fault in draft.faults]
        raise Refused(name, faults, unlisted=draft.unlisted)
    inputs = [given for given in (chosen.list, chosen.into, chosen.columns) if given]
    files.write(chosen.output, plant_file.to_text(draft.plant).encode(), *inputs)
    yield from _summary(base, draft.plant, found)
    yield f"the plant file is in {chosen.output}"


def _summary(base: Plant, plant: Plant, found: ReadList) -> Iterator[str]:
    new, changed, gone = preview.changes(base, plant)
    yield f"{len(new)} new, {len(changed)} changed, {len(gone)} gone"
    for title, head in found.unread:
        yield f"note: column {head} of {title} is not read"


def _choices(path: Path) -> Choices:
    name = str(path)
    data, faults = yaml_text.parsed(
        name, yaml_text.decoded(name, files.read(path, "a file of columns", yaml_text.MOST_BYTES))
    )
    if faults:
        raise Refused(name, faults)
    return list_import.choices_of(data, name)
