"""What a change affects: answers to confirm, and fields of the plant file to check.

The rule for addressees (house rule). A change touches a group, a zone, a system or the plant, and everything inside
it: the groups of a zone or system, all of a plant. It reopens

- answers given for a touched addressee, and
- answers of a wider addressee that apply to it: for a group those of its systems, its zone and the plant, for a zone
  those of the plant; also the zone's cyber topic that answers a common-cause question (``SAME_QUESTION``);

each only if its question is on a topic of the change. An answer overridden by a more specific one does not apply here
and stays. If several systems share a group, the answers of all of them are reopened, not only the worst one that is
used today: the change may affect any of them. Topics keep the two halves apart, so a change on cyber topics alone
leaves the common-cause answers of the groups in a zone as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml

from checks.assessment.answers import Answers, ByQuestion
from checks.assessment.links import Links
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import written

FOLDER = Path(__file__).parent
Reopened = frozenset[tuple[str, str]]
"""Stored answers, each by its question and addressee."""


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


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its kind, what it touches (``plant``, ``system:S30``, ``zone:Z5``, ``group:esv-301``).

    ``named`` are topics that a person adds, such as those of the cause. ``condition_holds`` is False only if the
    condition of the kind is known not to be true.
    """

    kind: str
    touched: frozenset[str]
    named: frozenset[str] = frozenset()
    condition_holds: bool = True


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


def topics_of(change: Change) -> frozenset[str]:
    """Topics that a change touches: those of its kind, and those a person named.

    If the kind asks for the topics of the cause and none is named, every common-cause topic counts: an unknown cause
    may be on any of them (house rule).
    """
    kind = kinds()[change.kind]
    topic_ids = frozenset(kind.common_cause + kind.cyber)
    if kind.only_if and not change.condition_holds:
        topic_ids -= kind.only_if.topics
    if kind.topic_of_cause and not change.named:
        topic_ids |= {key for key, topic in topics().items() if topic.half == "common_cause"}
    return topic_ids | change.named


def unknown_addressees(touched: Iterable[str], plant: Plant) -> list[Fault]:
    """A fault for each addressee that the plant does not have."""
    known = {"plant"}
    for kind, block in (("system", plant.systems), ("zone", plant.zones), ("group", plant.groups)):
        known |= {f"{kind}:{key}" for key in block}
    allowed = "name what the change touches: plant, system:ID, zone:ID or group:ID as in the plant file"
    return [Fault("touched", f"{of} does not exist", allowed) for of in sorted(set(touched) - known)]


def check(change: Change, plant: Plant) -> None:
    """Raise Refused for an unknown kind, topic or addressee, and for a change that touches nothing."""
    faults = unknown_addressees(change.touched, plant)
    if not change.touched:
        faults.append(Fault("touched", "nothing", "at least one group, zone or system, or else the plant"))
    if change.kind not in kinds():
        faults.append(Fault("kind", f"{change.kind} is no kind of change", f"one of: {', '.join(kinds())}"))
    for name in sorted(change.named - set(topics())):
        faults.append(Fault("named", f"{name} is no topic", f"any of: {', '.join(topics())}"))
    if faults:
        raise Refused("change", faults)


def reopened(change: Change, plant: Plant, answers: Answers) -> Reopened:
    """Stored answers that a change reopens; raises Refused for a change that does not fit the plant."""
    check(change, plant)
    about, questions, links = topics_of(change), banks().questions, Links(plant)
    return frozenset(
        (answer.question, answer.of)
        for of in change.touched
        for effective in _effective_answers(of, plant, answers, links)
        for asked, answer in effective.items()
        if not about.isdisjoint(questions[asked].topics)
    )


def _effective_answers(of: str, plant: Plant, answers: Answers, links: Links) -> Iterator[ByQuestion]:
    """Answers that apply to an addressee or to anything inside it, each by the question it answers."""
    yield answers.of(of)
    for zone in _zones(of, plant):
        yield answers.for_zone(zone)
    for system in plant.systems if of == "plant" else ():
        yield answers.of(f"system:{system}")
    for group in links.groups_of(of):
        by_system: list[tuple[str, ...]] = [(system,) for system in links.systems_of[group]] or [()]
        for systems in by_system:
            yield answers.for_group(group, zone=plant.groups[group].zone, systems=systems)


def _zones(of: str, plant: Plant) -> Iterable[str]:
    if of == "plant":
        return plant.zones
    kind, _, key = of.partition(":")
    return (key,) if kind == "zone" else ()


def data_to_check(change: Change, plant: Plant) -> tuple[str, ...]:
    """Fields of the plant file to check after a change, such as ``groups.pt-301.proof_test``.

    In the order of the kind's data, without empty optional fields. Raises Refused like ``reopened``.
    """
    check(change, plant)
    inside = _entries(change.touched, plant)
    places: dict[str, None] = {}
    for part in (data()[name] for name in kinds()[change.kind].data):
        if not part.fields:
            places[part.block] = None
            continue
        block = getattr(plant, part.block)
        for key in (entry for entry in block if entry in inside[part.block]):
            filled = [name for name in part.fields if getattr(block[key], name) is not None]
            places.update({written((part.block, key, name)): None for name in filled})
    return tuple(places)


def _entries(touched: Iterable[str], plant: Plant) -> dict[str, set[str]]:
    """Entries of each block of the plant file that belong to the addressees."""
    links = Links(plant)
    groups = {key for of in touched for key in links.groups_of(of)}
    return {
        "zones": {key for of in touched for key in _zones(of, plant)},
        "groups": groups,
        "devices": {name for key in groups for names in plant.groups[key].channels for name in names},
        "functions": {name for key in groups for name in links.uses[key]},
    }
