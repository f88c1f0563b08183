"""Question banks: what is asked, why, and what to look for. Frozen data, one folder an edition."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any, Literal

import yaml

from scoring import common_cause, levels

FOLDER = Path(__file__).parent / "banks"
EDITIONS = {
    "common_cause": "iec61508-6-2010",
    "cyber": "edition-1",
    "requirements": "iec62443-3-3-2013",
}
Level = Literal["plant", "system", "zone", "group"]
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Question:
    """One question. Its id never changes meaning; its words are ours; the points are the standard's.

    ``asked_of`` is the broadest addressee for which one answer means something. ``weight`` and ``elements`` belong
    to cyber topics, ``requirements`` are the SR/RE that a topic speaks for (for a requirement, itself).
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

    def points(self, part: common_cause.Part) -> common_cause.Row | None:
        """Row of Table D.1 behind a common-cause question; None where it does not apply to ``part``."""
        return common_cause.rows(part).get(self.id)

    @property
    def levels(self) -> frozenset[int]:
        """Security levels at which a requirement is needed; for a topic, those of any requirement it speaks for."""
        needed = levels.required_at()
        return frozenset().union(*(needed[name] for name in self.requirements))


@dataclass(frozen=True)
class Banks:
    """The three banks. Ids are unique across all of them."""

    common_cause: dict[str, Question]
    cyber: dict[str, Question]
    requirements: dict[str, Question]

    @cached_property
    def every(self) -> dict[str, Question]:
        """All questions by id."""
        return {**self.common_cause, **self.cyber, **self.requirements}

    @cached_property
    def topics_of_requirement(self) -> dict[str, tuple[str, ...]]:
        """Cyber topics that speak for each requirement."""
        return {
            name: tuple(topic.id for topic in self.cyber.values() if name in topic.requirements)
            for name in self.requirements
        }


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
        elements=frozenset(fields.pop("elements", ())),
        fr=tuple(fr),
        requirements=tuple(requirements),
        **fields,
    )


def _read(bank: str) -> dict[str, Question]:
    found: dict[str, Question] = {}
    for path in sorted((FOLDER / bank / EDITIONS[bank]).glob("*.yaml")):
        # The loader is PyYAML's safe one, in C where the wheel carries it.
        head = yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER)  # noqa: S506
        for raw in head["questions"]:
            found[raw["id"]] = _question(raw, head)
    return found


@cache
def banks() -> Banks:
    """The banks in use."""
    return Banks(*(_read(name) for name in EDITIONS))
