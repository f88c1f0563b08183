"""Reasons why a signature is refused: each alone, and all of them listed together."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import ASSESSOR, Person
from checks.recording import answer_records, recorder
from checks.signoff import sign_off
from checks.signoff.sign_off import NotSigned
from checks.signoff.terms import Condition, Terms
from tests.checks.given import answer
from tests.checks.team import ANSWERS, ASSESSES, DAY, DISSENT, EVIDENCE, LEADS, Team, ahead, body_of, full_terms


def took(*did: str, name: str = "IA-1", day: str = DAY.isoformat()) -> str:
    """The reason against a signer who did this for S30."""
    told = ", ".join(f"{deed} on {day}" for deed in did)
    return f"{name} took part in S30: {told}; a signer must be independent of the work"


SEEN = ("SEP1", "group:pt-301")


CHANGE = {"kind": "device-same-batch", "on": "2025-03-04", "data": [], "touched": [], "topics": []}


def refused(team: Team, half: str = "safety", person: Person = ASSESSES, **options: Any) -> tuple[str, ...]:
    """Every reason why this signature is refused; nothing must be stored."""
    terms = options.get("terms") or full_terms(team.live, team.latest(), half, person.name)
    before = team.count()
    private: Ed25519PrivateKey = options.get("private", team.keys[half])
    with pytest.raises(NotSigned) as error:
        sign_off.sign(team.live, person, team.latest(), private, half=half, terms=terms)
    assert team.count() == before
    assert str(error.value) == "not signed: " + "; ".join(error.value.reasons)
    return error.value.reasons


@pytest.mark.parametrize("name", ["IA-1", "ia-1", "  Ia-1 ", "IA-1\t"])
def test_a_person_who_answered_cannot_sign_however_the_name_is_typed(team: Team, name: str) -> None:
    team.say("SEP4", "group:pt-301", by=name)
    team.put_up()
    assert refused(team) == (took("answered"),)


def test_an_accent_typed_in_two_ways_is_one_person(team: Team) -> None:
    team.say("SEP4", "group:pt-301", by="Ren\u00e9e")
    team.put_up()
    private = team.enrol("safety", name="Rene\u0301e")
    person = Person("rene\u0301e", frozenset({ASSESSOR}))
    assert refused(team, person=person, private=private) == (took("answered", name=person.name),)


def test_a_person_with_a_replaced_answer_still_took_part(team: Team) -> None:
    team.say("SEP4", "group:pt-301", "partly", by="IA-1")
    team.say("SEP4", "group:pt-301", "met", by="TM-1")
    team.put_up()
    assert refused(team) == (took("answered"),)


def test_a_person_who_answered_only_for_another_system_may_sign(team: Team) -> None:
    team.say("SEP1", "group:lt-501", by="IA-1")
    team.put_up()
    team.sign("safety")


def test_a_person_with_a_replaced_answer_from_before_the_last_signed_revision_may_sign(team: Team) -> None:
    team.say("SEP4", "group:pt-301", "partly", by="TM-9")
    team.signed()
    team.say("SEP4", "group:pt-301", "met", by="TM-1")
    team.put_up()
    private = team.enrol("safety", name="TM-9")
    person = Person("TM-9", frozenset({ASSESSOR}))
    terms = full_terms(team.live, team.latest(), "safety", "TM-9")
    sign_off.sign(team.live, person, team.latest(), private, half="safety", terms=terms)
    assert team.state()[1].endswith("signed so far: safety")


def attended(team: Team) -> None:
    answer_records.record_attendance(
        team.live, LEADS, system="S30", on="2025-03-04", people=[("TM-1", ""), (" ia-1 ", "guest")]
    )


def dissented(team: Team) -> None:
    answer_records.record_dissent(team.live, ANSWERS, SEEN, {**DISSENT, "who": "IA-1"})


def brought_evidence(team: Team) -> None:
    answer_records.add_evidence(team.live, replace(ANSWERS, name="IA-1"), SEEN, EVIDENCE)


def took_evidence_back(team: Team) -> None:
    event = answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.withdraw_evidence(team.live, replace(ANSWERS, name="IA-1"), SEEN, number=event.seq, reason="twice")


def confirmed(team: Team) -> None:
    fields = {"answers": [{"question": "SEP1", "of": "group:pt-301"}]}
    recorder.record(team.live, replace(ANSWERS, name="IA-1"), body_of("confirmed", **fields))


@pytest.mark.parametrize(
    ("deed", "did"),
    [
        (attended, "attended a session"),
        (dissented, "recorded a dissent"),
        (brought_evidence, "recorded evidence"),
        (took_evidence_back, "withdrew evidence"),
        (confirmed, "confirmed answers"),
    ],
)
def test_a_person_who_attended_or_recorded_anything_in_the_session_cannot_sign(team: Team, deed: Any, did: str) -> None:
    deed(team)
    team.put_up()
    assert refused(team) == (took(did),)


def test_a_person_signs_the_half_of_their_own_role_only(team: Team) -> None:
    team.put_up()
    private = team.enrol("security", name="IA-1")
    why = ("the security half is signed by the security reviewer",)
    assert refused(team, half="security", private=private) == why


def test_answers_that_score_without_evidence_are_named_for_their_half(team: Team) -> None:
    team.say("SEP4", "group:pt-301", "met", evidence="  ")
    team.say("PRO1", "plant", "equivalent", evidence="")
    team.say("SEP5", "group:pt-301", "not-met", evidence="")
    team.put_up()
    assert refused(team) == ("2 answers without evidence, but scoring: SEP4 of group:pt-301, PRO1 of plant",)
    team.sign("security")


def test_a_cyber_answer_without_evidence_prevents_signing_of_the_security_half_only(team: Team) -> None:
    team.say("Z01", "zone:sis", evidence="")
    team.put_up()
    with pytest.raises(NotSigned, match=r"^not signed: 1 answer without evidence, but scoring: Z01 of zone:sis$"):
        team.sign("security")
    team.sign("safety")


def test_an_answer_without_a_name_prevents_signing_of_its_half(team: Team) -> None:
    plant = team.now().plant
    unnamed = [answer(question, "group:pt-301", evidence="drawing 4") for question in ("SEP4", "SEP5")]
    team.change(plant.model_copy(update={"answers": unnamed}))
    team.put_up()
    assert refused(team) == ("2 answers without a name: SEP4 of group:pt-301, SEP5 of group:pt-301; answer them again",)
    team.sign("security")
    team.say("SEP4", "group:pt-301", "partly")
    team.put_up()
    assert refused(team) == ("1 answer without a name: SEP5 of group:pt-301; answer it again",)


def test_after_eight_of_them_the_rest_is_counted(team: Team) -> None:
    names = ("SEP4", "SEP5", "DIV3", "DIV4", "DIV8", "DIV9", "CPX1", "CPX2", "CPX3", "CPX4")
    for name in names:
        team.say(name, "group:pt-301", evidence="")
    team.put_up()
    (why,) = refused(team)
    assert why.startswith("10 answers without evidence, but scoring: ")
    assert why.endswith(" and 2 more")
    assert why.count(" of group:pt-301") == 8


def test_answers_to_confirm_after_a_change_prevent_signing(team: Team) -> None:
    reopened = [{"question": "SEP1", "of": "group:pt-301"}, {"question": "Z01", "of": "zone:sis"}]
    fields = {"reference": "MOC-1", "what": "new tray", "systems": ["S30"], "reopened": reopened, **CHANGE}
    recorder.record(team.live, LEADS, body_of("change", **fields))
    team.put_up()
    assert refused(team) == ("1 answer still to be confirmed after a change: SEP1 of group:pt-301",)
    with pytest.raises(NotSigned, match="1 answer still to be confirmed after a change: Z01 of zone:sis"):
        team.sign("security")
    recorder.record(team.live, ANSWERS, body_of("confirmed", answers=reopened[:1]))
    team.say("Z01", "zone:sis", evidence="walk-down 13")
    team.put_up()
    for half in ("safety", "security"):
        team.sign(half)


def test_a_zone_that_was_never_reviewed_prevents_signing(team: Team) -> None:
    plant = team.now().plant
    zone = plant.zones["package"].model_copy(update={"name": "Package"})
    groups = {**plant.groups, "esv-301": plant.groups["esv-301"].model_copy(update={"zone": "package"})}
    team.change(plant.model_copy(update={"zones": {**plant.zones, "package": zone}, "groups": groups, "answers": []}))
    team.put_up()
    with pytest.raises(NotSigned, match=r"^not signed: zone package was never reviewed$"):
        team.sign("security")


@pytest.mark.parametrize(
    ("terms", "why"),
    [
        ({"independence": " "}, "the statement of independence is missing"),
        ({"competence": ""}, "the basis of competence is missing"),
        ({"competence": "a b " * 501}, "the basis of competence has 2004 characters: at most 2000"),
        ({"conditions": ("a",) * 51, "until": ahead(3)}, "51 conditions: at most 50"),
        ({"conditions": ("a",)}, "conditions need an end date"),
        ({"until": ahead(3)}, "an end date needs conditions"),
        ({"conditions": ("a",), "until": ahead(0)}, f"the end date, {ahead(0)}, must lie after today"),
        ({"conditions": ("a",), "until": ahead(-9)}, f"the end date, {ahead(-9)}, must lie after today"),
        (
            {"conditions": ("a",), "until": "soon"},
            "the end date, 'soon', is no date: write it as 2025-03-04, from 1950 to 2100",
        ),
        (
            {"conditions": ("a",), "until": "20990101"},
            "the end date, '20990101', is no date: write it as 2025-03-04, from 1950 to 2100",
        ),
    ],
)
def test_the_statements_are_complete_and_conditions_end_on_a_future_date(
    team: Team, terms: dict[str, Any], why: str
) -> None:
    team.put_up()
    revision = team.latest()
    assert refused(team, terms=full_terms(team.live, revision, "safety", "IA-1", **terms)) == (why,)


def test_every_reason_is_listed_together(team: Team) -> None:
    reopened = [{"question": "Z01", "of": "zone:sis"}]
    fields = {"reference": "MOC-1", "what": "new tray", "systems": ["S30"], "reopened": reopened, **CHANGE}
    team.say("Z02", "zone:sis", "not-met")
    team.say("Z03", "zone:sis", "met", evidence="", by="sr-1")
    recorder.record(team.live, LEADS, body_of("change", **fields))
    private = team.keys["safety"] = team.enrol("safety", name="IA-2")
    team.withdraw("safety", 0)
    team.put_up()
    team.say("SEP4", "group:pt-301", "partly")
    person = Person("SR-1", frozenset({ASSESSOR}))
    terms = Terms("", "", (Condition("A-009", "a"),), "")
    *reasons, sampled, rests, ends = refused(team, half="security", person=person, private=private, terms=terms)
    assert sampled.startswith("5 of 5 sampled answers without a verdict and a remark of at least 2 words: ")
    assert (*reasons, rests, ends) == (
        "revision 0 is void, not under review",
        "1 answer without evidence, but scoring: Z03 of zone:sis",
        "1 answer still to be confirmed after a change: Z01 of zone:sis",
        "1 gap neither closed nor accepted as residual risk: Z02 of sis",
        "the security half is signed by the security reviewer",
        took("answered", name="SR-1"),
        "this key is enrolled for IA-2, not for SR-1",
        "this key is enrolled for independent assessor, not for the security reviewer",
        f"this key was withdrawn from {ahead(0)} on (the stick was lost)",
        "the statement of independence is missing",
        "the basis of competence is missing",
        "condition 1 rests on A-009: choose an open action of the system",
        "conditions need an end date",
    )
