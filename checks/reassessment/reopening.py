"""What a change affects: answers to confirm, and fields of the plant file to check.

The rule for addressees (house rule). A change touches a device, a group, a zone, a system or the plant, and everything
inside it: the groups that have the device, those of a zone or system, all of a plant. It reopens

- answers given for a touched addressee, and
- answers of a wider addressee that apply to it: for a group those of its systems, its zone and the plant, for a zone
  those of the plant; also the zone's cyber topic that answers a common-cause question (``SAME_QUESTION``);

each only if its question is on a topic of the change. An answer overridden by a more specific one does not apply here
and stays. If several systems share a group, the answers of all of them are reopened, not only the worst one that is
used today: the change may affect any of them. Topics keep the two halves apart, so a change on cyber topics alone
leaves the common-cause answers of the groups in a zone as they are.

Systems concerned are those that use a touched group, and a touched system itself. Answers of a shared zone or the plant
are to be confirmed, which everybody sees who rests on them; only another answer invalidates the sign-offs of the others.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from checks.assessment.answers import Answers, ByQuestion
from checks.assessment.links import Links
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.reassessment.kinds_of_change import data, kinds, topics
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import written

Reopened = frozenset[tuple[str, str]]
"""Stored answers, each by its question and addressee."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its kind, what it touches (``plant``, ``system:S30``, ``zone:Z5``, ``group:esv-301``, ``device:valve-1``).

    ``named`` are topics that a person adds, such as those of the cause. ``condition_holds`` is False only if the
    condition of the kind is known not to be true.
    """

    kind: str
    touched: frozenset[str]
    named: frozenset[str] = frozenset()
    condition_holds: bool = True


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
    for kind, keys in (
        ("system", list(plant.systems)),
        ("zone", list(plant.zones)),
        ("group", list(plant.groups)),
        ("device", list(plant.devices)),
    ):
        known |= {f"{kind}:{key}" for key in keys}
    allowed = "name what the change touches: plant, system:ID, zone:ID, group:ID or device:ID as in the plant file"
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
    for group in groups_touched(of, plant, links):
        by_system: list[tuple[str, ...]] = [(system,) for system in links.systems_of[group]] or [()]
        for systems in by_system:
            yield answers.for_group(group, zone=plant.groups[group].zone, systems=systems)


def groups_touched(of: str, plant: Plant, links: Links) -> Iterable[str]:
    """Groups inside what a change touches; of a device those that have it in a channel."""
    kind, _, key = of.partition(":")
    if kind != "device":
        return links.groups_of(of)
    return [name for name, group in plant.groups.items() if key in group.devices]


def concerned(change: Change, plant: Plant, links: Links) -> list[str]:
    """Systems concerned by a change: those that use a touched group, and touched ones."""
    using = {
        system for of in change.touched for key in groups_touched(of, plant, links) for system in links.systems_of[key]
    }
    return [key for key in plant.systems if key in using or not change.touched.isdisjoint({"plant", f"system:{key}"})]


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
            filled = [name for name in part.fields if getattr(block[key], name) not in (None, [])]
            places.update({written((part.block, key, name)): None for name in filled})
    return tuple(places)


def _entries(touched: Iterable[str], plant: Plant) -> dict[str, set[str]]:
    """Entries of each block of the plant file that belong to the addressees."""
    links = Links(plant)
    groups = {key for of in touched for key in groups_touched(of, plant, links)}
    devices = {of.removeprefix("device:") for of in touched if of.startswith("device:")}
    wider = {key for of in touched if not of.startswith("device:") for key in groups_touched(of, plant, links)}
    return {
        "zones": {key for of in touched for key in _zones(of, plant)},
        "groups": groups,
        "devices": devices | {name for key in wider for name in plant.groups[key].devices},
        "functions": {name for key in groups for name in links.uses[key]},
    }
