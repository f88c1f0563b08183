"""Question banks: question, reason and evidence to look for. One folder for each edition.

A bank has two hashes: one of what scores, which a signature covers, and one of its words, which may be improved at any time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal

import rfc8785
import yaml

from scoring import common_cause as table_d1
from scoring import levels
from scoring.methods import registry

FOLDER = Path(__file__).parent / "banks"
EDITIONS = {
    "common_cause": "iec61508-6-2010",
    "cyber": "edition-1",
    "requirements": "iec62443-3-3-2013",
}
"""The banks by name, each with its first edition."""
FIRST = tuple(EDITIONS.items())
LATEST = (("common_cause", "edition-2"), ("cyber", "edition-2"), ("requirements", "edition-2"))
OPINIONS = tuple((method.bank, "edition-1") for method in registry.ASKED_BETA.editions().values())
"""The banks of further beta methods, each with its latest edition. A revision names those that carry the beta of a group."""
KNOWN = (*EDITIONS, *dict(OPINIONS))
MEASURE_ANSWERS = ("met", "partly", "not-met", "unknown", "equivalent", "not-applicable")
"""The answers to a question about a measure."""
LEVELS = ("level-a", "level-a-plus", "level-b", "level-b-plus", "level-c", "level-d", "level-e")
"""The levels of a question that is answered by a level, worst first; each question has its own choice of them."""
Chosen = tuple[tuple[str, str], ...]
"""Pairs of bank and edition, in the order of ``EDITIONS``."""
Level = Literal["plant", "system", "zone", "group"]
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Question:
    """One question. The meaning of its id never changes; the words are our own, the points those of the standard.

    ``asked_of`` is the broadest addressee for which one answer makes sense. ``weight`` and ``elements`` belong to
    cyber topics, ``requirements`` are the SR/RE that a topic covers (for a requirement, itself), ``undermines`` the rows of
    Table D.1 that lose their value while the topic is unmet (exposure rule ``credits``). ``offered`` is the addressee that a
    session offers first, if more specific. ``official`` is the name of a requirement in the standard. ``coverage`` is the range
    of diagnostic coverage that a question states, for a cross-check against the entered rates. ``choices`` are the levels that
    answer a question instead of met and not-met, worst first, each with what it means.
    """

    id: str
    bank: str
    section: str
    section_title: str
    text: str
    why: str
    evidence: tuple[str, ...]
    asked_of: Level
    topics: tuple[str, ...]
    source: str
    confidence: str
    title: str = ""
    action: str = ""
    note: str = ""
    weight: int = 0
    elements: frozenset[str] = frozenset()
    fr: tuple[str, ...] = ()
    requirements: tuple[str, ...] = ()
    undermines: tuple[str, ...] = ()
    offered: Level | None = None
    official: str = ""
    coverage: tuple[float, float] | None = None
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def answers(self) -> tuple[str, ...]:
        """The values that answer it."""
        return (*(level for level, _ in self.choices), "unknown") if self.choices else MEASURE_ANSWERS

    @property
    def best(self) -> str:
        """The value that answers it best: met, or the best of its levels."""
        return self.choices[-1][0] if self.choices else "met"

    def points(self, part: table_d1.Part) -> table_d1.Row | None:
        """Row of Table D.1 behind a common-cause question; None where it does not apply to ``part``."""
        return table_d1.rows(part).get(self.id)

    @property
    def levels(self) -> frozenset[int]:
        """Security levels at which a requirement is needed; for a topic, those of any requirement it covers."""
        needed = levels.required_at()
        return frozenset().union(*(needed[name] for name in self.requirements))


@dataclass(frozen=True)
class Banks:
    """The three banks, and those of further beta methods by name. Ids are unique across all of them."""

    common_cause: dict[str, Question]
    cyber: dict[str, Question]
    requirements: dict[str, Question]
    opinions: Mapping[str, Mapping[str, Question]]

    @cached_property
    def questions(self) -> dict[str, Question]:
        """All questions by id."""
        further = {name: question for bank in self.opinions.values() for name, question in bank.items()}
        return {**self.common_cause, **self.cyber, **self.requirements, **further}

    def of(self, bank: str) -> Mapping[str, Question]:
        """The questions of a bank by id; raises KeyError for a bank that there is not."""
        named = {"common_cause": self.common_cause, "cyber": self.cyber, "requirements": self.requirements}
        return named[bank] if bank in named else self.opinions[bank]

    @cached_property
    def topics_of_requirement(self) -> dict[str, tuple[str, ...]]:
        """Cyber topics that cover each requirement."""
        return {
            name: tuple(topic.id for topic in self.cyber.values() if name in topic.requirements)
            for name in self.requirements
        }


def _ends(raw: list[float] | None) -> tuple[float, float] | None:
    return None if raw is None else (float(raw[0]), float(raw[1]))


def _question(raw: dict[str, Any], head: dict[str, Any]) -> Question:
    bank = head["bank"]
    fields = dict(raw)
    requirements = fields.pop("sr", [fields["id"]] if bank == "requirements" else [])
    fr = fields.pop("fr", [head["section"]["id"]] if bank == "requirements" else [])
    for name in ("text", "why", "action"):
        fields[name] = fields.get(name, "").strip()
    return Question(
        bank=bank,
        section=head["section"]["id"],
        section_title=head["section"]["title"],
        evidence=tuple(fields.pop("evidence")),
        topics=tuple(fields.pop("topics")),
        undermines=tuple(fields.pop("undermines", ())),
        coverage=_ends(fields.pop("coverage", None)),
        choices=tuple(fields.pop("choices", {}).items()),
        elements=frozenset(fields.pop("elements", ())),
        fr=tuple(fr),
        requirements=tuple(requirements),
        **fields,
    )


class UnknownEdition(LookupError):
    """An edition of a question bank that this program does not have: it comes from a newer release."""

    def __init__(self, bank: str, edition: str) -> None:
        super().__init__(
            f"written by a newer release: this program has no edition {edition} of the question bank {bank}"
        )


@cache
def edition(bank: str, name: str) -> Mapping[str, Question]:
    """Questions of one edition of a bank by id; raises UnknownEdition."""
    paths = sorted((FOLDER / bank / name).glob("*.yaml")) if bank in KNOWN and name in _names(bank) else []
    if not paths:
        raise UnknownEdition(bank, name)
    questions: dict[str, Question] = {}
    for path in paths:
        # The loader is PyYAML's safe one, in C where the wheel has it.
        head = yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER)  # noqa: S506
        for raw in head["questions"]:
            questions[raw["id"]] = _question(raw, head)
    return questions


def _names(bank: str) -> tuple[str, ...]:
    return tuple(path.name for path in (FOLDER / bank).iterdir())


@cache
def banks(chosen: Chosen = LATEST) -> Banks:
    """The banks in these editions, by default the latest; raises UnknownEdition."""
    common_cause, cyber, requirements = (dict(edition(bank, name)) for bank, name in chosen)
    return Banks(common_cause, cyber, requirements, {bank: edition(bank, name) for bank, name in OPINIONS})


@cache
def scoring_hash(bank: str, name: str) -> str:
    """SHA-256 of what scores in an edition: ids, points, weights, levels, addressees, topics, requirements."""
    return _hash([list(_scores(question)) for question in edition(bank, name).values()])


@cache
def words_hash(bank: str, name: str) -> str:
    """SHA-256 of the words of an edition: texts, reasons, evidence, actions, notes and titles."""
    return _hash([list(_words(question)) for question in edition(bank, name).values()])


def _scores(question: Question) -> Iterator[Any]:
    yield from (question.id, question.asked_of, question.weight, sorted(question.topics), sorted(question.elements))
    yield from (sorted(question.fr), sorted(question.requirements), sorted(question.undermines))
    yield sorted(question.levels)
    for part in table_d1.PARTS:
        row = question.points(part)
        yield None if row is None else [row.x, row.y, row.alternatives]
    for method in registry.ASKED_BETA.editions().values():
        if method.bank == question.bank:
            yield list(map(list, method.points()[question.id].items()))


def _words(question: Question) -> Iterator[Any]:
    yield from (question.id, question.title, question.text, question.why, list(question.evidence))
    yield from (question.action, question.note, question.section_title, question.official)
    yield from map(list, question.choices)


def _hash(value: list[Any]) -> str:
    return sha256(rfc8785.dumps(value)).hexdigest()
