"""A signer is independent of the work, signs one half only, and signs nothing that has expired since the revision.

House rules after common practice, no source: a facilitator signs nothing, the asset owner accepts, and the second half
needs a second person.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, Person
from checks.actions import recorded_actions
from checks.events.answering import answer
from checks.plantfile.plant import Plant
from checks.reassessment import change_records
from checks.reassessment.reopening import Change
from checks.recording import answer_records, plant_setup, recorder
from checks.signoff import accepted_gaps, keys, open_points, revisions, sign_off
from checks.state import effective_answers
from checks.state.revision_status import REVIEWED, SIGNED
from checks.text.faults import Refused
from tests.checks.signoff.test_signing_refused import refused, took
from tests.checks.team import ANSWERS, ASSESSES, DAY, EVIDENCE, LEADS, OWNS, REVIEWS, Team, ahead, full_terms

SEEN = ("SEP1", "group:pt-301")
Z01 = ("S30", "sis", "Z01")
WITH_MORE = replace(ASSESSES, roles=frozenset({ASSESSOR, FACILITATOR, MEMBER, OWNER}))


def renamed(plant: Plant) -> Plant:
    """The plant with another note."""
    return plant.model_copy(update={"plant": plant.plant.model_copy(update={"note": "list of 2026-11-27"})})


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


def changed(team: Team) -> None:
    change = Change("target-changed", frozenset({"system:S30"}))
    change_records.record_change(team.live, WITH_MORE, change, reference="", on="2025-03-04", what="RRF 100 to 200")
    team.confirm_all()
    team.put_up()


def entered_plant_data(team: Team) -> None:
    plant_setup.save(team.live, WITH_MORE, renamed(team.now().plant), seen=team.now().version.data)
    team.put_up()


def verified_an_action(team: Team) -> None:
    fields = {"what": "split the taps", "owner": "technician", "due": date(2030, 1, 1), "system": "S30"}
    recorded_actions.raise_one(team.live, LEADS, fields)
    recorded_actions.done(team.live, LEADS, "A-001", evidence="walk-down 31")
    recorded_actions.close(team.live, LEADS, "A-001", evidence="walk-down 31", verifier="Ia-1")
    team.put_up()


@pytest.mark.parametrize(
    ("deed", "did"),
    [
        (led, "submitted a revision for review"),
        (accepted, "accepted residual risks"),
        (attended_afterwards, "attended a session"),
        (answered_alone_afterwards, "answered privately"),
        (changed, "recorded a change"),
        (entered_plant_data, "entered or imported plant data"),
        (verified_an_action, "verified an action"),
    ],
)
def test_taking_part_before_or_after_the_revision_excludes_a_signer(
    team: Team, deed: Callable[[Team], None], did: str
) -> None:
    deed(team)
    assert refused(team) == (took(did),)


def test_a_wrong_attendance_is_corrected_visibly_and_the_person_may_sign(team: Team) -> None:
    attended_afterwards(team)
    count = team.count()
    with pytest.raises(Refused, match="say how the wrong entry came about"):
        answer_records.correct_attendance(team.live, LEADS, system="S30", on="2025-03-04", name="IA-1", reason=" ")
    with pytest.raises(Refused, match="IA-7 is not recorded for 2025-03-04"):
        answer_records.correct_attendance(team.live, LEADS, system="S30", on="2025-03-04", name="IA-7", reason="typing")
    answer_records.correct_attendance(
        team.live, LEADS, system="S30", on="2025-03-04", name="IA-1", reason="taken from the list of another meeting"
    )
    assert [entry.name for entry in team.now().records.attended["S30"]] == ["TM-1"]
    assert team.count() == count + 1
    team.sign("safety")


def test_a_name_that_a_file_claims_bars_nobody_and_the_importer_is_barred(team: Team) -> None:
    team.say("SEP4", "group:pt-301")
    body = answer.Body(question="SEP4", of="group:pt-301", value="partly", evidence="drawing 4", by="IA-1")
    importer, stored = replace(ANSWERS, name="SR-1"), team.now().stored[body.asked].id
    recorder.record(team.live, importer, body, slot=answer.slot(*body.asked), follows=stored)
    team.put_up()
    team.sign("safety")
    assert refused(team, "security", REVIEWS) == (took("imported answers", name="SR-1"),)


def test_leading_a_half_signed_revision_excludes_a_signer_from_the_next(team: Team) -> None:
    led(team)
    team.sign("security")
    team.say("SEP4", "group:pt-301")
    team.put_up()
    assert refused(team) == (took("submitted a revision for review"),)


def test_leading_an_earlier_revision_excludes_a_signer_however_old_it_is(team: Team) -> None:
    led(team)
    team.sign("security")
    private = team.enrol("safety", name="IA-2")
    terms = full_terms(team.live, team.latest(), "safety", "IA-2")
    sign_off.sign(team.live, replace(ASSESSES, name="IA-2"), team.latest(), private, half="safety", terms=terms)
    team.say("SEP4", "group:pt-301")
    team.put_up()
    assert refused(team) == (took("submitted a revision for review"),)


def test_a_signed_in_person_is_the_same_under_another_name(team: Team) -> None:
    known = replace(ANSWERS, name="I. Aimes", identity="signed in: https://sign-in.example.org s-1")
    answer_records.add_evidence(team.live, known, SEEN, EVIDENCE)
    team.put_up()
    assert refused(team, person=replace(ASSESSES, identity=known.identity)) == (took("recorded evidence"),)
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


def test_what_was_done_under_an_earlier_name_counts_once_the_owner_links_it(team: Team) -> None:
    team.say("SEP4", "group:pt-301", by="Ina Abel")
    team.put_up()
    with pytest.raises(Refused, match="earlier: the same name"):
        keys.link_names(team.live, OWNS, name="IA-1", earlier=" ia-1", reason="typing")
    keys.link_names(team.live, OWNS, name="Ina Berg", earlier="Ina Abel", reason="married in 2024")
    keys.link_names(team.live, OWNS, name="IA-1", earlier="ina berg", reason="staff list 2025")
    assert refused(team) == (took("answered"),)


def test_two_signed_in_people_of_one_name_are_two(team: Team) -> None:
    """With a sign-in the provider's subject is the identity; the name is a label."""
    answered = replace(ANSWERS, name="IA-1", identity="signed in: https://sign-in.example.org s-1")
    answer_records.add_evidence(team.live, answered, SEEN, EVIDENCE)
    team.put_up()
    same_name = replace(ASSESSES, identity="signed in: https://sign-in.example.org s-2")
    terms = full_terms(team.live, team.latest(), "safety", "IA-1")
    sign_off.sign(team.live, same_name, team.latest(), team.keys["safety"], half="safety", terms=terms)
    assert set(team.latest().signatures) == {"safety"}
