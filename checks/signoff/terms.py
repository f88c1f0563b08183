"""What a signer states: independence, competence, a verdict on each sampled answer, conditions; and what is wrong with it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from checks.plantfile.plant import Asked
from checks.recording import field_checks
from checks.text import days as allowed_days

SHOWN, NOT_SHOWN, UNDECIDED = "shown", "not shown", "cannot be judged"
VERDICTS = {
    SHOWN: "the evidence shows it",
    NOT_SHOWN: "the evidence does not show it",
    UNDECIDED: "cannot be judged from the evidence",
}
"""Verdicts on a sampled answer, each with its words in the statement (house rule)."""

FEWEST_WORDS = 3
"""Fewest words of a statement of independence or competence (house rule): a single word says nothing."""
FEWEST_OF_REMARK = 2
"""Fewest words of a remark on a sampled answer (house rule)."""
MOST_CONDITIONS = 50
"""Most conditions of one signature (house rule)."""
NAMED = 5
"""Questions that a reason names; of more it says how many."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The signer's verdict on one sampled answer, a key of ``VERDICTS``, and a remark in their words."""

    question: str
    of: str
    verdict: str
    remark: str

    @property
    def asked(self) -> Asked:
        """The question and its addressee."""
        return self.question, self.of


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition of a sign-off in words, and the id of the open action on which it rests."""

    action: str
    words: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What the signer states.

    ``until`` is the end date (ISO) of a conditional sign-off. ``turns`` is the number of samples drawn for the signer.
    ``unanswered`` is the number of never answered questions that they accept. ``shown`` is the statement that the screen
    showed, where there is one.
    """

    independence: str
    competence: str
    conditions: tuple[Condition, ...] = ()
    until: str = ""
    turns: int = 1
    verdicts: tuple[Verdict, ...] = ()
    unanswered: int = 0
    shown: str | None = None


@dataclass(frozen=True, slots=True)
class Unanswered:
    """Questions of one half that nobody ever answered, and the number of questions asked."""

    asked: int
    missing: tuple[Asked, ...]


def wrong(
    terms: Terms,
    sample: Sequence[Mapping[str, Any]],
    never: Unanswered,
    actions: Collection[str],
    days: tuple[date, date],
) -> list[str]:
    """What is wrong with the terms of a signer; empty where nothing is.

    ``sample`` holds the sampled answers, ``actions`` the ids of open actions of the system, ``days`` today and the day by
    which the next assessment is due.
    """
    return [
        *_too_little("the statement of independence", terms.independence),
        *_too_little("the basis of competence", terms.competence),
        *_length_reasons(terms),
        *_sample_reasons(terms, sample),
        *_unanswered_reasons(terms, never),
        *_condition_reasons(terms, actions),
        *_until_reasons(terms, *days),
    ]


def _too_little(what: str, text: str) -> list[str]:
    if not text.strip():
        return [f"{what} is missing"]
    little = field_checks.says_little(text.strip(), FEWEST_WORDS)
    return [f"{what} says too little: write at least {FEWEST_WORDS} words"] if little else []


def _length_reasons(terms: Terms) -> list[str]:
    """Texts that are too long, and too many conditions."""
    texts = {"the statement of independence": terms.independence, "the basis of competence": terms.competence}
    texts |= {f"condition {number}": condition.words for number, condition in enumerate(terms.conditions, start=1)}
    texts |= {f"the remark on {verdict.question} of {verdict.of}": verdict.remark for verdict in terms.verdicts}
    faults = [fault for what, text in texts.items() for fault in field_checks.too_long(what, text)]
    reasons = [f"{fault.place} has {fault.found}: {fault.allowed}" for fault in faults]
    if len(terms.conditions) > MOST_CONDITIONS:
        reasons.append(f"{len(terms.conditions)} conditions: at most {MOST_CONDITIONS}")
    return reasons


def _sample_reasons(terms: Terms, sample: Sequence[Mapping[str, Any]]) -> list[str]:
    if not terms.turns >= 1:
        return [f"{terms.turns} samples were drawn: must be 1 or more"]
    given = {verdict.asked: verdict for verdict in terms.verdicts}
    without, refuted = [], []
    for answer in sample:
        asked = (answer["question"], answer["of"])
        verdict = given.get(asked)
        if (
            verdict is None
            or verdict.verdict not in VERDICTS
            or field_checks.says_little(verdict.remark.strip(), FEWEST_OF_REMARK)
        ):
            without.append(asked)
        elif verdict.verdict != SHOWN:
            refuted.append(asked)
    reasons = []
    if without:
        reasons.append(
            f"{len(without)} of {len(sample)} sampled answers without a verdict and a remark of at least "
            f"{FEWEST_OF_REMARK} words: {listed(without)}"
        )
    if refuted and not terms.conditions:
        reasons.append(f"not shown by the evidence: {listed(refuted)}; send the revision back, or set a condition")
    return reasons


def _unanswered_reasons(terms: Terms, never: Unanswered) -> list[str]:
    count = len(never.missing)
    if count == terms.unanswered:
        return []
    what = f"{count} of {never.asked} questions were never answered"
    names = f" ({listed(never.missing)})" if never.missing else ""
    return [f"{what}{names}, and {terms.unanswered} were accepted: accept all, or send the revision back"]


def _condition_reasons(terms: Terms, actions: Collection[str]) -> list[str]:
    reasons = [
        f"condition {number} rests on {condition.action or 'no action'}: choose an open action of the system"
        for number, condition in enumerate(terms.conditions, start=1)
        if condition.action not in actions
    ]
    return reasons + [
        f"condition {number} has no words"
        for number, condition in enumerate(terms.conditions, start=1)
        if not condition.words.strip()
    ]


def _until_reasons(terms: Terms, today: date, due: date) -> list[str]:
    if terms.conditions and not terms.until:
        return ["conditions need an end date"]
    if terms.until and not terms.conditions:
        return ["an end date needs conditions"]
    if terms.until and field_checks.day_faults("until", terms.until):
        return [f"the end date, {terms.until!r}, is no date: write it as 2025-03-04, {allowed_days.RANGE}"]
    if terms.until and terms.until <= today.isoformat():
        return [f"the end date, {terms.until}, must lie after today"]
    if terms.until > due.isoformat():
        return [f"the end date, {terms.until}, lies behind the next assessment, due on {due}"]
    return []


def listed(several: Sequence[Asked]) -> str:
    """Questions by name, the first ones; of more it says how many."""
    names = ", ".join(f"{question} of {of}" for question, of in several[:NAMED])
    return names + (f" and {len(several) - NAMED} more" if len(several) > NAMED else "")
