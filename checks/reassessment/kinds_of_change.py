"""Kinds of change with what each affects, topics of questions, and parts of the plant file: the YAML files of this folder."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml

FOLDER = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Topic:
    """A topic of questions. ``half`` says whether it belongs to the common-cause or the cyber session."""

    id: str
    name: str
    half: Literal["common_cause", "cyber"]
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Condition:
    """The condition, in words, under which some topics of a kind count."""

    condition: str
    topics: frozenset[str]


@dataclass(frozen=True, slots=True)
class Data:
    """A part of the plant file: a block and fields of its entries; without fields the whole block."""

    id: str
    name: str
    block: str
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of change. Its id never changes meaning; the wording and its topics are house rules."""

    id: str
    name: str
    why: str
    common_cause: tuple[str, ...]
    cyber: tuple[str, ...]
    data: tuple[str, ...]
    caution: str
    topic_of_cause: bool
    only_if: Condition | None
    source: str
    confidence: str


def _read(name: str) -> Any:
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


@cache
def topics() -> dict[str, Topic]:
    """All topics by id, common cause first."""
    return {key: Topic(id=key, **raw) for key, raw in _read("topics")["topics"].items()}


@cache
def data() -> dict[str, Data]:
    """Parts of the plant file that a change can affect, by id."""
    return {
        key: Data(key, raw["name"], raw["block"], tuple(raw["fields"])) for key, raw in _read("topics")["data"].items()
    }


@cache
def kinds() -> dict[str, Kind]:
    """All kinds of change by id."""
    head = _read("changes")
    return {raw["id"]: _kind(raw, head) for raw in head["kinds"]}


def _kind(raw: dict[str, Any], head: dict[str, Any]) -> Kind:
    only_if = raw.get("only_if")
    return Kind(
        id=raw["id"],
        name=raw["name"],
        why=raw["why"],
        common_cause=tuple(raw["common_cause"]),
        cyber=tuple(raw["cyber"]),
        data=tuple(raw["data"]),
        caution=raw.get("caution", ""),
        topic_of_cause=raw.get("topic_of_cause", False),
        only_if=Condition(only_if["condition"], frozenset(only_if["topics"])) if only_if else None,
        source=head["source"],
        confidence=head["confidence"],
    )
