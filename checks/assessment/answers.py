"""Latest answers, and the answers that apply to a group or a zone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from checks.plantfile.plant import Answer
from checks.questions.bank import LEVELS

ByQuestion = Mapping[str, Answer]
_NONE: ByQuestion = MappingProxyType({})
FAVOUR = {"met": 3, "equivalent": 3, "not-applicable": 2, "partly": 1, "unknown": 0, "not-met": 0}
FAVOUR |= {level: place for place, level in enumerate(LEVELS, 1)}
"""How favourable a value is. If systems disagree about a shared group, the worst answer is used (house rule)."""

SAME_QUESTION = {"ENV1": "A05"}
"""Locked cabinets are in both banks: without any other answer, the common-cause question takes that of the cyber topic."""


class Answers:
    """Latest answer to each question for each addressee. Immutable: ``plus`` and ``without`` return a new object."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._by_of: dict[str, dict[str, Answer]] = {}
        for answer in answers:
            self._by_of.setdefault(answer.of, {})[answer.question] = answer

    def __iter__(self) -> Iterator[Answer]:
        return (answer for by_question in self._by_of.values() for answer in by_question.values())

    def __len__(self) -> int:
        return sum(map(len, self._by_of.values()))

    def get(self, question: str, of: str) -> Answer | None:
        """The answer to ``question`` for exactly this addressee."""
        return self._by_of.get(of, _NONE).get(question)

    def of(self, addressee: str) -> ByQuestion:
        """All answers for exactly this addressee, by question."""
        return self._by_of.get(addressee, _NONE)

    def plus(self, more: Iterable[Answer]) -> Answers:
        """These answers, replaced or extended by later ones."""
        new = Answers()
        new._by_of = dict(self._by_of)
        for answer in more:
            new._by_of[answer.of] = {**new._by_of.get(answer.of, {}), answer.question: answer}
        return new

    def without(self, question: str, of: str) -> Answers:
        """These answers without one of them."""
        new = Answers()
        new._by_of = {**self._by_of, of: {name: answer for name, answer in self.of(of).items() if name != question}}
        return new

    def for_zone(self, zone: str) -> ByQuestion:
        """Answers that apply to a zone: its own, else the plant's."""
        return {**self.of("plant"), **self.of(f"zone:{zone}")}

    def for_group(self, group: str, *, zone: str | None, systems: Iterable[str]) -> ByQuestion:
        """Answers that apply to a group: its own, else its system's (common cause) or zone's (cyber), else the plant's.

        The addressee of each answer shows its origin.
        """
        applicable = {
            **self.of("plant"),
            **(self.of(f"zone:{zone}") if zone else _NONE),
            **self._of_systems(tuple(systems)),
        }
        applicable.update(self.of(f"group:{group}"))
        for name, same in SAME_QUESTION.items():
            if name not in applicable and same in applicable:
                applicable[name] = applicable[same]
        return applicable

    def _of_systems(self, systems: Sequence[str]) -> ByQuestion:
        """Answers of the systems that share a group: for each question the worst answer.

        For a system without an answer the plant's answer counts.
        """
        by_system = [self.of(f"system:{key}") for key in systems]
        if len(by_system) == 1:
            return by_system[0]
        plant = self.of("plant")
        merged = {}
        for name in {name: None for by_question in by_system for name in by_question}:
            answers = [answer for by_question in by_system if (answer := by_question.get(name) or plant.get(name))]
            merged[name] = min(answers, key=lambda answer: FAVOUR[answer.value])
        return merged
