"""The answers that hold now, and which of them speaks for a group or a zone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from checks.plantfile.plant import Answer

ByQuestion = Mapping[str, Answer]
_NONE: ByQuestion = MappingProxyType({})
FAVOUR = {"met": 3, "equivalent": 3, "not-applicable": 2, "partly": 1, "unknown": 0, "not-met": 0}
"""How favourable a value is; of systems that disagree about a shared group the least favourable speaks (house rule)."""

SAME_QUESTION = {"ENV1": "A05"}
"""Locked cabinets stand in both banks: a common-cause question falls back last on the cyber topic."""


class Answers:
    """Latest answer to each question of each addressee. Immutable: a further answer makes a new value."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._by_of: dict[str, dict[str, Answer]] = {}
        for one in answers:
            self._by_of.setdefault(one.of, {})[one.question] = one

    def __iter__(self) -> Iterator[Answer]:
        return (one for held in self._by_of.values() for one in held.values())

    def __len__(self) -> int:
        return sum(map(len, self._by_of.values()))

    def get(self, question: str, of: str) -> Answer | None:
        """The answer given to ``question`` of exactly this addressee."""
        return self._by_of.get(of, _NONE).get(question)

    def of(self, addressee: str) -> ByQuestion:
        """All answers given of exactly this addressee."""
        return self._by_of.get(addressee, _NONE)

    def plus(self, more: Iterable[Answer]) -> Answers:
        """These answers with later ones on top."""
        new = Answers()
        new._by_of = dict(self._by_of)
        for one in more:
            new._by_of[one.of] = {**new._by_of.get(one.of, {}), one.question: one}
        return new

    def without(self, question: str, of: str) -> Answers:
        """These answers less one, to see what would be inherited instead."""
        new = Answers()
        new._by_of = {**self._by_of, of: {name: one for name, one in self.of(of).items() if name != question}}
        return new

    def for_zone(self, zone: str) -> ByQuestion:
        """What holds for a zone: its own answer, else the plant's."""
        return {**self.of("plant"), **self.of(f"zone:{zone}")}

    def for_group(self, group: str, *, zone: str | None, systems: Iterable[str]) -> ByQuestion:
        """What holds for a group: its own answer, else its system's (common cause) or zone's (cyber), else the plant's.

        The addressee of each answer says where it came from.
        """
        held = {**self.of("plant"), **(self.of(f"zone:{zone}") if zone else _NONE), **self._of_systems(tuple(systems))}
        held.update(self.of(f"group:{group}"))
        for name, same in SAME_QUESTION.items():
            if name not in held and same in held:
                held[name] = held[same]
        return held

    def _of_systems(self, systems: Sequence[str]) -> ByQuestion:
        """What holds for a group that all these systems use: of each question the least favourable of their answers.

        A system that did not answer stands by the plant's answer.
        """
        each = [self.of(f"system:{key}") for key in systems]
        if len(each) == 1:
            return each[0]
        plant = self.of("plant")
        merged = {}
        for name in {name: None for held in each for name in held}:
            said = [one for held in each if (one := held.get(name) or plant.get(name))]
            merged[name] = min(said, key=lambda one: FAVOUR[one.value])
        return merged
