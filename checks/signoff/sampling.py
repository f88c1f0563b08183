"""The sample of scoring answers that a signer checks, named in the signed statement.

The order of drawing follows from the hash of the revision and the name of the signer (SHA-256, house rule). Nobody can
know it before the revision is fixed or choose it, and anybody can draw it again.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from hashlib import sha256
from typing import Any, TypeVar

from checks.access.names import comparable
from checks.assessment.groups import UNMET
from checks.questions.bank import EDITIONS, banks
from checks.text.canonical import canonical

Drawn = TypeVar("Drawn")
SAMPLE = 5
"""Answers drawn per turn (house rule, after what assessors ask for)."""


def scores(question: str, value: str) -> bool:
    """Whether an answer improves a result: by points, by a lower exposure or by a met requirement.

    A common-cause row scores in full or not at all. A partly met topic lowers the exposure; one that
    does not apply is left out of it. A requirement that does not apply counts as met. A level scores unless it is the worst.

    >>> scores("SEP1", "partly"), scores("Z01", "partly"), scores("SR 1.1", "partly")
    (False, True, False)
    >>> scores("HUM1", "level-a"), scores("HUM1", "level-e")
    (False, True)
    """
    asked = banks().questions[question]
    bank = asked.bank
    if bank not in EDITIONS:
        return value in (asked.best, "equivalent") or value in dict(asked.choices[1:])
    left_out = 1.0 if bank == "common_cause" else 0.0
    unmet = UNMET.get(value, left_out)
    return unmet < 1.0 if bank == "cyber" else unmet == 0.0


def order(fixed: Mapping[str, Any], of_banks: Collection[str], *, revision: str, who: str) -> list[dict[str, Any]]:
    """Scoring answers of a fixed revision to questions of some banks, in this person's order of drawing.

    ``revision`` is its hash.
    """

    def rank(answer: Mapping[str, Any]) -> bytes:
        return sha256(canonical([revision, comparable(who), answer["question"], answer["of"]])).digest()

    answers = fixed["facts"]["plant"].get("answers", [])
    of_half = (answer for answer in answers if banks().questions[answer["question"]].bank in of_banks)
    return sorted((answer for answer in of_half if scores(answer["question"], answer["value"])), key=rank)


def drawn(ordered: Sequence[Drawn], turns: int) -> Sequence[Drawn]:
    """All answers drawn in so many turns.

    >>> drawn("abcdefg", 0), drawn("abcdefg", 1), drawn("abcdefg", 2)
    ('', 'abcde', 'abcdefg')
    """
    return ordered[: SAMPLE * max(turns, 0)]


def sample(
    fixed: Mapping[str, Any], of_banks: Collection[str], *, revision: str, who: str, turns: int
) -> list[dict[str, str]]:
    """Question and addressee of every answer drawn in ``turns`` turns, as a statement names them."""
    ordered = order(fixed, of_banks, revision=revision, who=who)
    return [{"question": answer["question"], "of": answer["of"]} for answer in drawn(ordered, turns)]
