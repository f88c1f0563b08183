"""Facts that differ between two states of a plant: places of the plant file, and answers."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from checks.assessment import editions
from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.plantfile.consistency import ORDER
from checks.plantfile.plant import Answer
from checks.questions.bank import banks
from checks.text.yaml_text import Place, written

Raw = Mapping[str, Any]
"""Plain data of a plant file."""

BLOCKS = ("plant", "conventions", "devices", "groups", "zones", "conduits", "systems", "functions")
"""Blocks of a plant file in the order in which differences are told and stepped through (house rule)."""


@dataclass(frozen=True, slots=True)
class DataFact:
    """A place of the plant file with its old and its new value, as plain data; None where there is none.

    A device, group or other entity that only one state has is one fact, with all that it holds as its value.
    """

    at: Place
    old: Any
    new: Any

    @property
    def place(self) -> str:
        """The place as a person writes it, such as ``groups.pt-301.proof_test.interval_h``."""
        return written(self.at)

    @property
    def of_edition(self) -> bool:
        """Whether it is the edition of a method or of a question bank."""
        return self.at[:2] == ("conventions", "editions")

    @property
    def whole(self) -> bool:
        """Whether an entity as a whole came or went."""
        return len(self.at) == 2 and (self.old is None or self.new is None)


@dataclass(frozen=True, slots=True)
class AnswerFact:
    """An answer that differs in its value, its evidence or anything else; None where it was not given."""

    question: str
    of: str
    old: Answer | None
    new: Answer | None

    @property
    def moves(self) -> bool:
        """Whether the value differs; evidence, notes, names and days move no adjusted result."""
        return self.old is None or self.new is None or self.old.value != self.new.value

    @property
    def old_evidence(self) -> str:
        """Evidence of the old answer; empty where there is none."""
        return self.old.evidence if self.old else ""

    @property
    def new_evidence(self) -> str:
        """Evidence of the new answer; empty where there is none."""
        return self.new.evidence if self.new else ""


Fact = DataFact | AnswerFact


class NoSuchFunction(ValueError):
    """A selection that names a function which neither state has."""

    def __init__(self, names: Collection[str]) -> None:
        super().__init__(f"no state has {', '.join(sorted(names))}: select functions that stand in a plant file")


def raw(assessment: Assessment) -> Raw:
    """Plain data of a plant without its answers; its conventions hold the editions it was computed with."""
    data = assessment.plant.model_dump(exclude={"answers", "format"})
    data["conventions"]["editions"] = editions.numbers(assessment.editions)
    return data


def differing(at: Place, old: Any, new: Any) -> Iterator[DataFact]:
    """Places at and below ``at`` where two pieces of plain data differ. A list is one value.

    >>> [fact.place for fact in differing(("g",), {"a": 1, "b": [2]}, {"a": 1, "b": [3], "c": 4})]
    ['g.b', 'g.c']
    """
    if old == new:
        return
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in dict.fromkeys((*old, *new)):
            yield from differing((*at, key), old.get(key), new.get(key))
    else:
        yield DataFact(at, old, new)


Ids = Mapping[str, Mapping[str, None]]
"""Ids by block, in the order of the plant file."""


def ids_of(assessment: Assessment, functions: Collection[str] | None = None) -> Ids:
    """What belongs to some functions: their groups and devices, zones with their conduits, and every system that shares the groups.

    Everything belongs where ``functions`` is None.
    """
    plant = assessment.plant
    if functions is None:
        return {block: dict.fromkeys(getattr(plant, block)) for block in BLOCKS[2:]}
    names = [key for key in plant.functions if key in functions]
    used = {key: plant.groups[key] for name in names for key in plant.functions[name].groups}
    zones = {group.zone for group in used.values()}
    inside: dict[str, Collection[str | None]] = {
        "functions": names,
        "groups": used,
        "devices": {one for group in used.values() for channel in group.channels for one in channel},
        "zones": zones,
        "systems": {system for key in used for system in assessment.links.systems_of[key]},
        "conduits": [key for key, conduit in plant.conduits.items() if zones & set(conduit.between)],
    }
    return {block: {key: None for key in getattr(plant, block) if key in keys} for block, keys in inside.items()}


def ids_of_both(old: Assessment, new: Assessment, functions: Collection[str] | None) -> Ids:
    """What belongs to a selection in either state, the old one's first; raises NoSuchFunction."""
    one, other = ids_of(old, functions), ids_of(new, functions)
    missing = {name for name in functions or () if name not in one["functions"] and name not in other["functions"]}
    if missing:
        raise NoSuchFunction(missing)
    return {block: {**keys, **other[block]} for block, keys in one.items()}


def of_data(old: Raw, new: Raw) -> tuple[DataFact, ...]:
    """Places of the plant file that differ, block by block."""
    return tuple(fact for block in BLOCKS for fact in differing((block,), old[block], new[block]))


def belongs(fact: DataFact, ids: Ids) -> bool:
    """Whether a fact is of the plant as a whole or of one of these entities."""
    block = str(fact.at[0])
    return block not in ids or fact.at[1] in ids[block]


def of_answers(old: Answers, new: Answers, ids: Ids) -> tuple[AnswerFact, ...]:
    """Answers that differ, in the order of the banks, of each question the broadest addressee first."""
    addressees = ["plant", *(f"{kind}:{key}" for kind in ("system", "zone", "group") for key in ids[f"{kind}s"])]
    found = []
    for of in addressees:
        before, after = old.of(of), new.of(of)
        if before is not after:
            for name in dict.fromkeys((*before, *after)):
                one, other = before.get(name), after.get(name)
                if one != other:
                    found.append(AnswerFact(name, of, one, other))
    bank = {name: at for at, name in enumerate(banks().every)}
    return tuple(sorted(found, key=lambda one: (bank[one.question], ORDER[one.of.partition(":")[0]])))
