"""The sample of scoring answers for a signer is drawn for them, is repeatable, and is part of the signed statement."""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

import pytest

from checks.record_files import record_file, verification
from checks.signoff import revisions, sampling, statement
from checks.signoff.sign_off import NotSigned
from checks.signoff.signers import HALVES
from checks.state.revision_status import Revision
from tests.checks.team import ASSESSES, REVIEWS, Team

Fixed = Mapping[str, Any]


def fixed(team: Team) -> tuple[Revision, Fixed]:
    """A revision of S30 under review, and what it fixes."""
    revision = team.put_up()
    return revision, revisions.fixed_body(team.live, revision)


def order(
    revision: Revision, fixed_state: Fixed, who: str = REVIEWS.name, half: str = "security"
) -> list[tuple[str, str]]:
    ordered = sampling.order(fixed_state, HALVES[half], revision=revision.hash, who=who)
    return [(answer["question"], answer["of"]) for answer in ordered]


@pytest.mark.parametrize(
    ("value", "cause", "topic", "requirement"),
    [
        ("met", True, True, True),
        ("equivalent", True, True, True),
        ("partly", False, True, False),
        ("not-applicable", False, True, True),
        ("not-met", False, False, False),
        ("unknown", False, False, False),
    ],
)
def test_only_answers_that_improve_a_result_are_drawn(
    value: str, *, cause: bool, topic: bool, requirement: bool
) -> None:
    """By the rules of the model, read by hand: rows score in full or not; a partly met topic counts half."""
    scoring = [sampling.scores(name, value) for name in ("SEP1", "Z01", "SR 1.1")]
    assert scoring == [cause, topic, requirement]


def test_a_draw_has_every_answer_of_one_half_once(team: Team) -> None:
    team.say("Z01", "zone:sis", "partly", evidence="")
    team.say("Z02", "zone:sis", "not-met")
    team.say("SEP4", "group:pt-301", "partly")
    revision, body = fixed(team)
    answers = {(answer["question"], answer["of"]) for answer in body["facts"]["plant"]["answers"]}
    causes = {("SEP1", "group:pt-301"), ("ASM1", "system:S30"), ("PRO1", "plant")}
    assert set(order(revision, body, half="safety")) == causes
    drawn = order(revision, body)
    assert len(drawn) == len(set(drawn)) == 119
    assert set(drawn) == answers - causes - {("SEP4", "group:pt-301"), ("Z02", "zone:sis")}


def test_the_order_follows_from_the_revision_and_the_name_alone(team: Team) -> None:
    revision, body = fixed(team)
    first = order(revision, body)
    assert order(revision, body, " sr-1 ") == first
    assert order(revision, body, "SR-2") != first
    assert order(revision, body, "SR-2")[:5] != first[:5]
    copy = {**body, "facts": {**body["facts"], "plant": {**body["facts"]["plant"]}}}
    copy["facts"]["plant"]["answers"] = list(reversed(body["facts"]["plant"]["answers"]))
    assert order(revision, copy) == first
    assert sampling.order(body, HALVES["security"], revision="0" * 64, who="SR-1")[0] != first[0]


def test_anybody_can_draw_it_again_with_a_hash_and_the_names(team: Team) -> None:
    revision, body = fixed(team)
    texts = [json.dumps([revision.hash, "sr-1", *asked], separators=(",", ":")) for asked in order(revision, body)]
    sums = [sha256(text.encode()).hexdigest() for text in texts]
    assert sums == sorted(sums)


@pytest.mark.parametrize(("turns", "many"), [(1, 5), (2, 10), (30, 120)])
def test_a_statement_names_every_answer_that_was_drawn_for_its_signer(team: Team, turns: int, many: int) -> None:
    revision, body = fixed(team)
    event = team.sign("security", revision, turns=turns)
    expected = order(revision, body)[:many]
    assert event.content["statement"]["sample"] == [{"question": name, "of": of} for name, of in expected]
    assert team.latest().signatures["security"].sample == tuple(expected)
    record = record_file.from_text("record", team.export())
    assert any("security half: signed by SR-1" in line for line in verification.verify(record))


def test_each_half_names_its_own(team: Team) -> None:
    revision, body = fixed(team)
    team.sign("safety", revision, turns=1)
    sample = team.latest().signatures["safety"].sample
    assert sample == tuple(order(revision, body, ASSESSES.name, "safety"))


def test_nobody_signs_without_a_sample(team: Team) -> None:
    revision, _ = fixed(team)
    with pytest.raises(NotSigned, match="0 samples were drawn: must be 1 or more"):
        team.sign("safety", revision, turns=0)


def test_an_older_statement_without_a_sample_remains_valid(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    today = statement.fields

    def before(*arguments: Any, **options: Any) -> dict[str, Any]:
        return {name: value for name, value in today(*arguments, **options).items() if name != "sample"}

    monkeypatch.setattr(statement, "fields", before)
    revision = team.signed()
    assert [signature.sample for signature in revision.signatures.values()] == [None, None]
    assert team.state()[0] == "signed"
    record = record_file.from_text("record", team.export())
    assert any("safety half: signed by IA-1" in line for line in verification.verify(record))
