"""Differences between two states of a plant: places of the plant file, and answers."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
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
"""Blocks of a plant file, in the order of differences and steps (house rule)."""


@dataclass(frozen=True, slots=True)
class DataFact:
    """A place of the plant file with its old and new value, as plain data; None where a state has none.

    An entity (device, group…) that only one state has is one fact, with the whole entity as its value.
    """

    at: Place
    old: Any
    new: Any

    @property
    def place(self) -> str:
        """The place in dotted form, such as ``groups.pt-301.proof_test.interval_h``."""
        return written(self.at)

    @property
    def of_edition(self) -> bool:
        """Whether it is the edition of a method or of a question bank."""
        return self.at[:2] == ("conventions", "editions")

    @property
    def whole(self) -> bool:
        """Whether a whole entity was added or removed."""
        return len(self.at) == 2 and (self.old is None or self.new is None)


@dataclass(frozen=True, slots=True)
class AnswerFact:
    """An answer that differs in its value, evidence or another field; None for a state without it."""

    question: str
    of: str
    old: Answer | None
    new: Answer | None

    @property
    def moves(self) -> bool:
        """Whether the value differs; evidence, notes, names and days change no result."""
        return self.old is None or self.new is None or self.old.value != self.new.value

    @property
    def rewritten(self) -> bool:
        """Whether the value is the same and evidence or note differ."""
        return not self.moves and bool(self.differs)

    @property
    def differs(self) -> str:
        """What differs at the same value, in words; empty where only author or day do."""
        texts = (("evidence", self.old_evidence, self.new_evidence), ("note", _note(self.old), _note(self.new)))
        return ", ".join(
            f"{name} {'changed' if old and new else 'removed' if old else 'added'}"
            for name, old, new in texts
            if old != new
        )

    @property
    def old_evidence(self) -> str:
        """Evidence of the old answer; empty where there is none."""
        return self.old.evidence if self.old else ""

    @property
    def new_evidence(self) -> str:
        """Evidence of the new answer; empty where there is none."""
        return self.new.evidence if self.new else ""


def _note(answer: Answer | None) -> str:
    return answer.note if answer else ""


def most_telling_first(facts: Iterable[AnswerFact]) -> list[AnswerFact]:
    """Answers that differ in value, then those with evidence or a note added or removed, then with other wording, then the rest."""

    def rank(fact: AnswerFact) -> int:
        if fact.moves:
            return 0
        added_or_removed = "added" in fact.differs or "removed" in fact.differs
        return 1 if added_or_removed else 2 if fact.differs else 3

    return sorted(facts, key=rank)


Fact = DataFact | AnswerFact


class NoSuchFunction(ValueError):
    """A selection with a function that neither state has."""

    def __init__(self, names: Collection[str]) -> None:
        super().__init__(f"no state has {', '.join(sorted(names))}: select functions of one of the plant files")


def raw(assessment: Assessment) -> Raw:
    """Plain data of a plant without its answers; its conventions include the editions of methods and banks."""
    data = assessment.plant.model_dump(exclude={"answers", "format"})
    data["conventions"]["editions"] = editions.numbers(assessment.editions)
    return data


def differing(at: Place, old: Any, new: Any) -> Iterator[DataFact]:
    """Places at and below ``at`` in which two pieces of plain data differ. A list counts as one value.

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
    """Ids of all that belongs to some functions: groups, devices, zones, their conduits, and systems that share the groups.

    All ids of the plant where ``functions`` is None.
    """
    plant = assessment.plant
    if functions is None:
        return {block: dict.fromkeys(getattr(plant, block)) for block in BLOCKS[2:]}
    names = [key for key in plant.functions if key in functions]
    used = {key: plant.groups[key] for name in names for key in plant.functions[name].group_ids}
    zones = {group.zone for group in used.values()}
    inside: dict[str, Collection[str | None]] = {
        "functions": names,
        "groups": used,
        "devices": {device for group in used.values() for device in group.devices},
        "zones": zones,
        "systems": {system for key in used for system in assessment.links.systems_of[key]},
        "conduits": [key for key, conduit in plant.conduits.items() if zones & set(conduit.between)],
    }
    return {block: {key: None for key in getattr(plant, block) if key in keys} for block, keys in inside.items()}


def ids_of_both(old: Assessment, new: Assessment, functions: Collection[str] | None) -> Ids:
    """Ids of all that belongs to a selection in either state, those of the old state first; raises NoSuchFunction."""
    old_ids, new_ids = ids_of(old, functions), ids_of(new, functions)
    missing = {
        name for name in functions or () if name not in old_ids["functions"] and name not in new_ids["functions"]
    }
    if missing:
        raise NoSuchFunction(missing)
    return {block: {**keys, **new_ids[block]} for block, keys in old_ids.items()}


def of_data(old: Raw, new: Raw) -> tuple[DataFact, ...]:
    """Differences in the plant file, block by block."""
    return tuple(fact for block in BLOCKS for fact in differing((block,), old[block], new[block]))


def belongs(fact: DataFact, ids: Ids) -> bool:
    """Whether a fact concerns the plant as a whole or one of these entities."""
    block = str(fact.at[0])
    return block not in ids or fact.at[1] in ids[block]


def of_answers(old: Answers, new: Answers, ids: Ids) -> tuple[AnswerFact, ...]:
    """Answers that differ, in the order of the banks; for each question the broadest addressee first."""
    addressees = ["plant", *(f"{kind}:{key}" for kind in ("system", "zone", "group") for key in ids[f"{kind}s"])]
    facts = []
    for of in addressees:
        before, after = old.of(of), new.of(of)
        if before is not after:
            for name in dict.fromkeys((*before, *after)):
                old_answer, new_answer = before.get(name), after.get(name)
                if old_answer != new_answer:
                    facts.append(AnswerFact(name, of, old_answer, new_answer))
    order = {name: position for position, name in enumerate(banks().questions)}
    return tuple(
        sorted(
            facts,
            key=lambda fact: (order[fact.question], ORDER[fact.of.partition(":")[0]]),
        )
    )
