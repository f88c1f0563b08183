"""Evidence to bring to a session: what the questions of some sheets look for, each piece once, by topic."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from checks.session_papers.question_sheets import Sheet


@dataclass(frozen=True, slots=True)
class Wanted:
    """A piece of evidence, the questions that look for it, and the addressees they are asked of."""

    topic: str
    what: str
    questions: tuple[str, ...]
    of: tuple[str, ...]


def evidence_to_bring(sheets: Iterable[Sheet]) -> list[Wanted]:
    """What the questions of these sheets look for, in the order of the banks and their sections."""
    found: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    sections: dict[str, None] = {}
    for sheet in sheets:
        for item in sheet.questions:
            sections.setdefault(item.question.section_title)
            for what in item.question.evidence:
                questions, of = found.setdefault((item.question.section_title, what), ({}, {}))
                questions.setdefault(item.question.id)
                of.update(dict.fromkeys(asked.of for asked in item.asked))
    order = list(sections)
    pieces = [Wanted(topic, what, tuple(names), tuple(of)) for (topic, what), (names, of) in found.items()]
    return sorted(pieces, key=lambda piece: order.index(piece.topic))
