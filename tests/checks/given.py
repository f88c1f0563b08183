"""The valid plant file, changes to it, and answers to add."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from checks.access.name_entry import name_faults
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from checks.text.faults import Refused
from checks.text.yaml_text import parsed

HERE = Path(__file__).parent
VALID = HERE / "valid.yaml"
TEXT = VALID.read_text(encoding="utf-8")
ROOT = HERE.parent.parent

FORMAT_2 = HERE / "format_2.yaml"
"""Everything that format 2 adds, once."""

SMALLEST = "format: 1\nplant: {name: P}\ndevices: {}\ngroups: {}\nfunctions: {}\n"
"""An empty plant file to which a line can be added."""


@cache
def _parsed() -> dict[str, Any]:
    return parsed("valid", TEXT)[0]


@cache
def _read() -> Plant:
    return plant_file.from_text("valid", TEXT)


def plain() -> dict[str, Any]:
    """A copy of the data of the valid file; parsed once, since property tests need it thousands of times."""
    return deepcopy(_parsed())


@cache
def _format_2() -> dict[str, Any]:
    return parsed("format 2", FORMAT_2.read_text(encoding="utf-8"))[0]


def plain_2() -> dict[str, Any]:
    """A copy of the data of the file with everything that format 2 adds."""
    return deepcopy(_format_2())


ELEMENT = {
    "voting": "1oo2",
    "of": ["SOV", "SOV"],
    "stated_beta": {"beta": 0.1, "beta_d": 0.05, "source": "site study"},
}


def plain_with_element(element: dict[str, Any] | None = None) -> dict[str, Any]:
    """The same with a redundant element in one channel of ``esv``, which is on the timeline."""
    raw = plain_2()
    esv = raw["groups"]["esv"]
    esv["channels"] = [["SOV", "ESV"], [deepcopy(element or ELEMENT), "ESV"]]
    esv["conventions"] = {"redundancy_method": "timeline"}
    return raw


def valid_plant() -> Plant:
    """The plant of the valid file with its answers."""
    return _read().model_copy(deep=True)


def bare_plant(**conventions: str) -> Plant:
    """The plant of the valid file without answers, with the given conventions."""
    raw = plain()
    raw["answers"] = []
    raw["conventions"].update(conventions)
    return Plant.model_validate(raw)


def answer(question: str, of: str, value: str = "met", **more: str) -> Answer:
    """One answer; values that need a note get one."""
    note = "a reason" if value in ("equivalent", "not-applicable") else ""
    return Answer.model_validate({"question": question, "of": of, "value": value, "note": note, **more})


def assessed(*answers: Answer, **conventions: str) -> Assessment:
    """Assessment of the plant of the valid file with these answers only."""
    return Assessment(bare_plant(**conventions)).with_answers(answers)


def every_topic(of: str, value: str) -> list[Answer]:
    """The same answer to each cyber topic of a zone."""
    return [answer(name, of, value) for name in banks().cyber]


def changed(*edits: tuple[str, str]) -> str:
    """Text of the valid file after replacing each first text, which must occur in it, by the second."""
    text = TEXT
    for old, new in edits:
        assert old in text, f"{old!r} does not stand in valid.yaml"
        text = text.replace(old, new, 1)
    return text


def told_of_data(raw: dict[str, Any]) -> list[str]:
    """Faults of a plant file called ``plant`` with these data, one line each; none for a valid file."""
    try:
        plant_file.from_text("plant", yaml.safe_dump(raw, sort_keys=False))
    except Refused as refused:
        return refused.lines()
    return []


def told(text: str | bytes) -> list[str]:
    """Faults of a plant file called ``FILE``, one line each; none for a valid file."""
    try:
        plant_file.from_bytes("FILE", text if isinstance(text, bytes) else text.encode())
    except Refused as refused:
        return refused.lines()
    return []


def tricky(trick: str) -> Plant:
    """The valid plant with a trick in each text that a person can write; as a name only where it is accepted as one."""
    raw = plain()
    raw["plant"] = {"name": trick, "note": trick}
    for block in ("devices", "zones", "groups", "systems", "functions"):
        for item in raw[block].values():
            item["name"] = trick
    for item in [*raw["zones"].values(), *raw["groups"].values(), *raw["conduits"].values()]:
        item["note"] = trick
    for conduit in raw["conduits"].values():
        conduit["flow"] = trick
    for device in raw["devices"].values():
        device["source"] = trick
    raw["groups"]["con-210"]["stated_beta"]["source"] = trick
    raw["groups"]["pt-301"]["tags"] = [trick] * 3
    for stored in raw["answers"]:
        stored.update(evidence=trick, note=trick, by="TM-1" if name_faults("by", trick) else trick)
    return Plant.model_validate(raw)
