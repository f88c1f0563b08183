"""The sample of scoring answers that a signer looks at: drawn for them, and named in what they sign.

The order in which answers are drawn follows from the hash of the revision and the name of the signer (SHA-256, house
rule). Nobody knows it before the revision is fixed and nobody chooses it; anybody can draw it again.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from hashlib import sha256
from typing import Any, TypeVar

from checks.access.names import plain
from checks.assessment.groups import UNMET
from checks.questions.bank import banks
from checks.text.canonical import canonical

Drawn = TypeVar("Drawn")
SAMPLE = 5
"""Answers that are drawn at a time (house rule, after what assessors ask for)."""


def scores(question: str, value: str) -> bool:
    """Whether an answer betters a figure: by points, by a lower exposure or by a requirement that is met.

    A common-cause row scores in full or not at all. A topic that is met in part lowers the exposure, and one that does
    not apply is left out of it; a requirement that does not apply is as good as met.

    >>> scores("SEP1", "partly"), scores("Z01", "partly"), scores("SR 1.1", "partly")
    (False, True, False)
    """
    bank = banks().every[question].bank
    left_out = 1.0 if bank == "common_cause" else 0.0
    unmet = UNMET.get(value, left_out)
    return unmet < 1.0 if bank == "cyber" else unmet == 0.0


def order(fixed: Mapping[str, Any], of_banks: Collection[str], *, revision: str, who: str) -> list[dict[str, Any]]:
    """Scoring answers of a fixed revision to questions of some banks, in the order in which a person draws them.

    ``revision`` is its hash.
    """

    def at(one: Mapping[str, Any]) -> bytes:
        return sha256(canonical([revision, plain(who), one["question"], one["of"]])).digest()

    given = fixed["facts"]["plant"].get("answers", [])
    ours = (one for one in given if banks().every[one["question"]].bank in of_banks)
    return sorted((one for one in ours if scores(one["question"], one["value"])), key=at)


def turn(drawn: Sequence[Drawn], number: int) -> Sequence[Drawn]:
    """What lies before the signer at a turn, counted from 1.

    >>> turn("abcdefg", 1), turn("abcdefg", 2), turn("abcdefg", 3)
    ('abcde', 'fg', '')
    """
    return drawn[SAMPLE * (number - 1) : SAMPLE * number]


def sample(
    fixed: Mapping[str, Any], of_banks: Collection[str], *, revision: str, who: str, turns: int
) -> list[dict[str, str]]:
    """Question and addressee of every answer that was drawn in so many turns, as a statement names them."""
    every = order(fixed, of_banks, revision=revision, who=who)
    drawn = [one for number in range(1, turns + 1) for one in turn(every, number)]
    return [{"question": one["question"], "of": one["of"]} for one in drawn]
