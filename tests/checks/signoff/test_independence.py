"""A signer is independent of the work, signs one half only, and signs nothing that has expired since the revision.

House rules after common practice, no source: a facilitator signs nothing, the asset owner accepts, and the second half
needs a second person.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, Person
from checks.recording import answer_records
from checks.signoff import accepted_gaps, open_points, revisions, sign_off
from checks.state import effective_answers
from checks.state.revision_status import REVIEWED, SIGNED
from tests.checks.signoff.test_signing_refused import TOOK, refused
from tests.checks.team import ANSWERS, ASSESSES, DAY, EVIDENCE, LEADS, OWNS, TERMS, Team, ahead

SEEN = ("SEP1", "group:pt-301")
Z01 = ("S30", "sis", "Z01")
WITH_MORE = replace(ASSESSES, roles=frozenset({ASSESSOR, FACILITATOR, MEMBER, OWNER}))


def led(team: Team) -> None:
    revisions.submit(team.live, WITH_MORE, "S30")


def accepted(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    accepted_gaps.accept_gaps(team.live, WITH_MORE, [Z01], reason="locked and alarmed", until=ahead(90))
    team.put_up()


def attended_afterwards(team: Team) -> None:
    team.put_up()
    answer_records.record_attendance(
        team.live, LEADS, system="S30", on="2025-03-04", people=[("TM-1", ""), ("ia-1", "guest")]
    )


def answered_alone_afterwards(team: Team) -> None:
    team.put_up()
    answer_records.answer_privately(team.live, WITH_MORE, SEEN, value="partly")


@pytest.mark.parametrize("deed", [led, accepted, attended_afterwards, answered_alone_afterwards])
def test_taking_part_before_or_after_the_revision_excludes_a_signer(team: Team, deed: Callable[[Team], None]) -> None:
    deed(team)
    assert refused(team) == (TOOK,)


def test_leading_a_half_signed_revision_excludes_a_signer_from_the_next(team: Team) -> None:
    led(team)
    team.sign("security")
    team.say("SEP4", "group:pt-301")
    team.put_up()
    assert refused(team) == (TOOK,)


def test_leading_a_fully_signed_revision_does_not_exclude_a_signer_from_the_next(team: Team) -> None:
    led(team)
    team.sign("security")
    private = team.enrol("safety", name="IA-2")
    sign_off.sign(team.live, replace(ASSESSES, name="IA-2"), team.latest(), private, half="safety", terms=TERMS)
    team.say("SEP4", "group:pt-301")
    team.put_up()
    team.sign("safety")
    assert set(team.latest().signatures) == {"safety"}


def test_a_signed_in_person_is_the_same_under_another_name(team: Team) -> None:
    known = replace(ANSWERS, name="I. Aimes", identity="signed in: https://sign-in.example.org s-1")
    answer_records.add_evidence(team.live, known, SEEN, EVIDENCE)
    team.put_up()
    assert refused(team, person=replace(ASSESSES, identity=known.identity)) == (TOOK,)
    team.sign("safety")


def test_two_halves_need_two_people(team: Team) -> None:
    both = Person("IA-1", frozenset({ASSESSOR, REVIEWER}))
    private = team.enrol("security", name="IA-1", roles=(ASSESSOR, REVIEWER))
    team.put_up()
    team.sign("safety")
    assert refused(team, "security", both, private=private) == (
        "IA-1 signed the safety half; two different people must sign",
    )
    team.sign("security")
    assert team.state()[0] == SIGNED


def test_a_clock_set_back_does_not_restore_a_withdrawn_key(team: Team) -> None:
    team.put_up()
    team.withdraw("safety", 0)
    early = team.on(DAY - timedelta(days=40))
    reason = f"this key was withdrawn from {ahead(0)} on (the stick was lost)"
    assert refused(early) == (reason,)
    assert team.state()[0] == REVIEWED


def test_a_signature_after_the_withdrawal_does_not_count_whatever_its_clock_says(team: Team) -> None:
    team.put_up()
    team.sign("safety")
    key = team.now().records.keys[team.key_of("safety")]
    signed = team.latest().signatures["safety"].cause.seq
    withdrawn = replace(key, withdrawn=ahead(0), told=f"{ahead(0)}T12:00:00.000+00:00", last=signed - 1)
    assert not withdrawn.counts(f"{ahead(-40)}T12:00:00.000+00:00", seq=signed)
    assert replace(withdrawn, last=signed + 1).counts(f"{ahead(-40)}T12:00:00.000+00:00", seq=signed)
    assert replace(withdrawn, withdrawn=ahead(5)).counts(f"{ahead(-40)}T12:00:00.000+00:00", seq=signed)


def test_evidence_that_expired_after_the_revision_prevents_signing(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(5)})
    team.put_up()
    later = team.on(DAY + timedelta(days=6))
    assert refused(later) == ("1 answer with expired evidence: SEP1 of group:pt-301",)
    assert (
        open_points.in_the_way(
            later.now(), later.latest(), revisions.fixed_body(later.live, later.latest()), "security"
        )
        == []
    )
    team.on(DAY + timedelta(days=5)).sign("safety")


def test_an_acceptance_covers_the_gap_as_it_was_and_none_that_is_worse(team: Team) -> None:
    team.say("Z01", "zone:sis", "partly")
    accepted_gaps.accept_gaps(team.live, OWNS, [Z01], reason="locked and alarmed", until=ahead(90))
    team.put_up()
    assert _in_the_way(team) == []
    team.say("Z01", "zone:sis", "not-met")
    team.put_up()
    assert _in_the_way(team) == ["1 gap neither closed nor accepted as residual risk: Z01 of sis"]
    accepted_gaps.accept_gaps(team.live, OWNS, [Z01], reason="locked and alarmed", until=ahead(90))
    assert _in_the_way(team) == []
    team.say("Z01", "zone:sis", "partly")
    team.put_up()
    assert _in_the_way(team) == []
    team.sign("security")


def _in_the_way(team: Team) -> list[str]:
    revision = team.latest()
    return open_points.in_the_way(team.now(), revision, revisions.fixed_body(team.live, revision), "security")


def test_a_piece_of_evidence_without_strength_shows_nothing(team: Team) -> None:
    team.say("SEP4", "group:pt-301", evidence="")
    answer_records.add_evidence(team.live, ANSWERS, ("SEP4", "group:pt-301"), {**EVIDENCE, "strength": 0})
    team.put_up()
    assert refused(team) == ("1 answer without evidence, but scoring: SEP4 of group:pt-301",)
    answer_records.add_evidence(team.live, ANSWERS, ("SEP4", "group:pt-301"), {**EVIDENCE, "strength": 1})
    team.put_up()
    team.sign("safety")


def test_written_evidence_stays_beside_a_piece_without_strength(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "strength": 0})
    state = team.now()
    (effective,) = effective_answers.all_of([state.stored[SEEN]], state.records, state.day)
    assert effective.evidence == "walk-down 12"
