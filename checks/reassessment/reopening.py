"""What a change makes doubtful: answers to confirm, and places of the plant file to look at again.

The rule for addressees (house rule). A change is said to touch a group, a zone, a system or the plant, and with it
everything that lies inside: the groups of a zone or system, all of a plant. To be confirmed are then

- the answers given of what is touched, and
- the answers given of something wider that speak for it: for a group those of its systems, its zone and the plant,
  for a zone those of the plant; also the zone's cyber topic that answers a common-cause question (``SAME_QUESTION``);

each only where the question it answers is on a topic of the change. An answer that a more specific one overrules
speaks for nobody here and stays. Of several systems that share a group each one's answer is meant, not only the least
favourable that counts today: the change may have made any of them untrue. Topics keep the two halves apart, so a
change on cyber topics alone leaves the common-cause answers of the groups in a zone as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml

from checks.assessment.answers import Answers, ByQuestion
from checks.assessment.assessment import Links
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import written

FOLDER = Path(__file__).parent
Reopened = frozenset[tuple[str, str]]
"""Stored answers, each by its question and the addressee of whom it was given."""


@dataclass(frozen=True, slots=True)
class Topic:
    """What questions can be about. ``half`` says whether it is of the common-cause or of the cyber session."""

    id: str
    name: str
    half: Literal["common_cause", "cyber"]
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Condition:
    """In words, when some topics of a kind count."""

    condition: str
    topics: frozenset[str]


@dataclass(frozen=True, slots=True)
class Data:
    """A part of the plant file: a block and fields of its entries; without fields the block as a whole."""

    id: str
    name: str
    block: str
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of change. Its id never changes meaning; its words are ours; which topics it touches is a house rule."""

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

    ``named`` are topics that a person adds, such as those of the cause. ``condition_holds`` is False only where the
    condition of the kind is known not to hold.
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
    """Parts of the plant file that a change can make untrue, by id."""
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
    """Topics that a change touches: its kind's, and those a person named.

    Where the kind asks for the topics of the cause and none is named, every common-cause topic counts: a cause that
    nobody knows may lie anywhere (house rule).
    """
    kind = kinds()[change.kind]
    held = frozenset(kind.common_cause + kind.cyber)
    if kind.only_if and not change.condition_holds:
        held -= kind.only_if.topics
    if kind.topic_of_cause and not change.named:
        held |= {key for key, topic in topics().items() if topic.half == "common_cause"}
    return held | change.named


def unknown_addressees(touched: Iterable[str], plant: Plant) -> list[Fault]:
    """A fault for each addressee that the plant does not have."""
    known = {"plant"}
    for kind, block in (("system", plant.systems), ("zone", plant.zones), ("group", plant.groups)):
        known |= {f"{kind}:{key}" for key in block}
    allowed = "name what the change touches: plant, system:ID, zone:ID or group:ID as in the plant file"
    return [Fault("touched", f"{of} does not exist", allowed) for of in sorted(set(touched) - known)]


def check(change: Change, plant: Plant) -> None:
    """Refuse a change of an unknown kind, with an unknown topic, or that touches nothing of the plant."""
    wrong = unknown_addressees(change.touched, plant)
    if not change.touched:
        wrong.append(Fault("touched", "nothing", "at least one group, zone or system, or else the plant"))
    if change.kind not in kinds():
        wrong.append(Fault("kind", f"{change.kind} is no kind of change", f"one of: {', '.join(kinds())}"))
    for name in sorted(change.named - set(topics())):
        wrong.append(Fault("named", f"{name} is no topic", f"any of: {', '.join(topics())}"))
    if wrong:
        raise Refused("change", wrong)


def reopened(change: Change, plant: Plant, answers: Answers) -> Reopened:
    """Stored answers that a change makes doubtful; raises Refused for a change that does not fit the plant."""
    check(change, plant)
    about, every, links = topics_of(change), banks().every, Links(plant)
    return frozenset(
        (one.question, one.of)
        for of in change.touched
        for held in _heard(of, plant, answers, links)
        for asked, one in held.items()
        if not about.isdisjoint(every[asked].topics)
    )


def _heard(of: str, plant: Plant, answers: Answers, links: Links) -> Iterator[ByQuestion]:
    """Answers given of an addressee, and those that speak for what lies inside it, each under the question it answers."""
    yield answers.of(of)
    for zone in _zones(of, plant):
        yield answers.for_zone(zone)
    for system in plant.systems if of == "plant" else ():
        yield answers.of(f"system:{system}")
    for group in links.groups_of(of):
        alone: list[tuple[str, ...]] = [(one,) for one in links.systems_of[group]] or [()]
        for systems in alone:
            yield answers.for_group(group, zone=plant.groups[group].zone, systems=systems)


def _zones(of: str, plant: Plant) -> Iterable[str]:
    if of == "plant":
        return plant.zones
    kind, _, key = of.partition(":")
    return (key,) if kind == "zone" else ()


def data_to_check(change: Change, plant: Plant) -> tuple[str, ...]:
    """Places of the plant file that a change asks to look at again, such as ``groups.pt-301.proof_test``.

    One after the other as the kind names its data, without optional fields that have no value. Raises Refused like ``reopened``.
    """
    check(change, plant)
    inside = _entries(change.touched, plant)
    places: dict[str, None] = {}
    for part in (data()[name] for name in kinds()[change.kind].data):
        if not part.fields:
            places[part.block] = None
            continue
        block = getattr(plant, part.block)
        for key in (one for one in block if one in inside[part.block]):
            filled = [name for name in part.fields if getattr(block[key], name) is not None]
            places.update({written((part.block, key, name)): None for name in filled})
    return tuple(places)


def _entries(touched: Iterable[str], plant: Plant) -> dict[str, set[str]]:
    """Entries of each block of the plant file that lie inside the addressees."""
    links = Links(plant)
    groups = {key for of in touched for key in links.groups_of(of)}
    return {
        "zones": {key for of in touched for key in _zones(of, plant)},
        "groups": groups,
        "devices": {name for key in groups for names in plant.groups[key].channels for name in names},
        "functions": {name for key in groups for name in links.uses[key]},
    }
