"""What a signer must state: a verdict and remark on each sampled answer, what was never answered, tied conditions (house rules)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from checks.signoff.terms import NOT_SHOWN, SHOWN, UNDECIDED, Condition, Terms, Unanswered, Verdict, wrong

SAMPLE = [{"question": "SEP1", "of": "group:pt-301"}, {"question": "PRO1", "of": "plant"}]
NEVER = Unanswered(37, tuple(("SEP2", f"group:g{number}") for number in range(23)))
NONE = Unanswered(37, ())
TODAY, DUE = date(2025, 3, 4), date(2028, 3, 4)


def verdicts(*given: str, remark: str = "read on site") -> tuple[Verdict, ...]:
    return tuple(
        Verdict(**answer, verdict=verdict, remark=remark) for answer, verdict in zip(SAMPLE, given, strict=False)
    )


def reasons(never: Unanswered = NONE, **terms: Any) -> list[str]:
    usual = {
        "independence": "no part in it",
        "competence": "twelve years of work",
        "verdicts": verdicts(SHOWN, SHOWN),
    }
    return wrong(Terms(**{**usual, **terms}), SAMPLE, never, ["A-003"], (TODAY, DUE))


def test_nothing_is_wrong_with_full_terms() -> None:
    assert reasons() == []
    conditions = (Condition("A-003", "weekly comparison"),)
    assert reasons(conditions=conditions, until="2028-03-04", verdicts=verdicts(SHOWN, NOT_SHOWN)) == []


@pytest.mark.parametrize("text", ["x", "yes", "fully independent"])
def test_a_word_says_nothing(text: str) -> None:
    assert reasons(independence=text) == ["the statement of independence says too little: write at least 3 words"]
    assert reasons(competence=text) == ["the basis of competence says too little: write at least 3 words"]


@pytest.mark.parametrize(
    ("given", "names"),
    [
        ((), "SEP1 of group:pt-301, PRO1 of plant"),
        (verdicts(SHOWN), "PRO1 of plant"),
        (verdicts(SHOWN, "fine"), "PRO1 of plant"),
        (verdicts(SHOWN, SHOWN, remark="ok"), "SEP1 of group:pt-301, PRO1 of plant"),
    ],
)
def test_every_sampled_answer_has_a_verdict_and_a_remark(given: tuple[Verdict, ...], names: str) -> None:
    (reason,) = reasons(verdicts=given)
    count = names.count(" of ")
    assert reason == f"{count} of 2 sampled answers without a verdict and a remark of at least 2 words: {names}"


@pytest.mark.parametrize("verdict", [NOT_SHOWN, UNDECIDED])
def test_what_the_evidence_does_not_show_is_not_signed_without_a_condition(verdict: str) -> None:
    assert reasons(verdicts=verdicts(SHOWN, verdict)) == [
        "not shown by the evidence: PRO1 of plant; send the revision back, or set a condition"
    ]


def test_questions_that_were_never_answered_are_accepted_by_their_number_or_not_at_all() -> None:
    (reason,) = reasons(NEVER)
    assert reason.startswith("23 of 37 questions were never answered (SEP2 of group:g0, ")
    assert reason.endswith(" and 18 more), and 0 were accepted: accept all, or send the revision back")
    assert reasons(NEVER, unanswered=22) != []
    assert reasons(NEVER, unanswered=23) == []


def test_a_condition_rests_on_an_open_action_and_says_something() -> None:
    given = (Condition("A-009", "weekly comparison"), Condition("A-003", " "))
    assert reasons(conditions=given, until="2026-01-01") == [
        "condition 1 rests on A-009: choose an open action of the system",
        "condition 2 has no words",
    ]


@pytest.mark.parametrize(
    ("until", "why"),
    [
        ("2028-03-05", "the end date, 2028-03-05, lies behind the next assessment, due on 2028-03-04"),
        ("2025-03-04", "the end date, 2025-03-04, must lie after today"),
        ("2026-02-30", "the end date, '2026-02-30', is no date: write it as 2025-03-04, from 1950 to 2100"),
        ("", "conditions need an end date"),
    ],
)
def test_a_condition_ends_within_the_interval_between_assessments(until: str, why: str) -> None:
    assert reasons(conditions=(Condition("A-003", "weekly comparison"),), until=until) == [why]


@pytest.mark.parametrize(
    ("terms", "what"),
    [
        ({"independence": "no part " * 251}, "the statement of independence has 2008 characters"),
        ({"conditions": (Condition("A-003", "x" * 2001),), "until": "2028-03-04"}, "condition 1 has 2001 characters"),
        (
            {"verdicts": verdicts(SHOWN, SHOWN, remark="as shown" * 251)[:1]},
            "the remark on SEP1 of group:pt-301 has 2008",
        ),
    ],
)
def test_a_text_that_is_too_long_is_named_with_its_bound(terms: dict[str, Any], what: str) -> None:
    first, *_ = reasons(**terms)
    assert first.startswith(what)
    assert first.endswith("characters: at most 2000")
