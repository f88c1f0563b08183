"""Private answers: no state shows another member's answer before the reveal; differences last until answered again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.access.roles import FACILITATOR, MEMBER, ROLES, Person
from checks.events.plant import assessment_round
from checks.journal.event_body import named
from checks.reassessment import change_records, confirmations, rounds
from checks.reassessment.reopening import Change
from checks.recording import answer_records, recorder
from checks.state.evidence import Private
from checks.visibility import redaction
from tests.checks.team import ANSWERS, LEADS, Team

SEEN, OTHER, OPEN = ("SEP1", "group:pt-301"), ("ASM1", "system:S30"), ("SEP5", "group:pt-301")
SECOND = replace(ANSWERS, name="TM-2")


def privately(team: Team, person: Person, value: str, asked: tuple[str, str] = SEEN) -> None:
    answer_records.answer_privately(team.live, person, asked, value=value, note=f"{person.name} says {value}")


def shown(team: Team, person: Person) -> list[tuple[str, str, str]]:
    """Author, value and note of each private answer in a person's state."""
    return [
        (answer.who, answer.value, answer.note) for answer in redaction.seen(team.now(), person).records.private[SEEN]
    ]


@pytest.mark.parametrize("role", [role for role in ROLES if role != "viewer"])
def test_no_state_holds_what_another_answered_before_the_reveal(team: Team, role: str) -> None:
    privately(team, ANSWERS, "met")
    privately(team, SECOND, "partly")
    person = Person("XX-1", frozenset({role, MEMBER}))
    assert not redaction.sees_all(team.now(), person)
    assert shown(team, person) == [("", "", ""), ("", "", "")], "the number of answers stays visible"
    assert all(not answer.revealed for answer in redaction.seen(team.now(), person).records.private[SEEN])
    answer_records.reveal(team.live, LEADS, [SEEN])
    assert shown(team, person) == [("TM-1", "met", "TM-1 says met"), ("TM-2", "partly", "TM-2 says partly")]


def test_everybody_sees_their_own_however_the_name_is_typed(team: Team) -> None:
    privately(team, ANSWERS, "met")
    privately(team, SECOND, "partly")
    assert shown(team, ANSWERS) == [("TM-1", "met", "TM-1 says met"), ("", "", "")]
    assert shown(team, replace(SECOND, name=" tm-2")) == [("", "", ""), ("TM-2", "partly", "TM-2 says partly")]
    assert shown(team, replace(SECOND, name="")) == [("", "", ""), ("", "", "")]


def test_a_state_shared_by_people_of_the_same_rights_holds_no_private_answer(team: Team) -> None:
    privately(team, ANSWERS, "met")
    state = team.now()
    for person in (ANSWERS, SECOND, LEADS, replace(ANSWERS, systems=frozenset({"S30"}))):
        by_rights = redaction.by_rights(state, person)
        assert [(answer.who, answer.value, answer.note) for answer in by_rights.records.private[SEEN]] == [("", "", "")]
        own = redaction.with_own(by_rights, state, person)
        assert [answer.value for answer in own.records.private[SEEN]] == (["met"] if person.name == "TM-1" else [""])


def test_without_unrevealed_answers_the_state_is_the_same(team: Team) -> None:
    privately(team, ANSWERS, "met")
    answer_records.reveal(team.live, LEADS, [SEEN])
    state = team.now()
    assert redaction.sees_all(state, LEADS)
    assert redaction.seen(state, LEADS) is state


def test_not_even_a_persons_own_answer_of_another_system_is_seen(team: Team) -> None:
    privately(team, ANSWERS, "met")
    other = replace(ANSWERS, systems=frozenset({"S50"}))
    assert redaction.seen(team.now(), other).records.private == {}


def apart(team: Team, *asked: tuple[str, str]) -> None:
    """Two members differ on these questions, and their answers are revealed."""
    for question in asked:
        privately(team, ANSWERS, "met", question)
        privately(team, SECOND, "not-met", question)
    answer_records.reveal(team.live, LEADS, asked)


def test_members_differ_until_the_answer_is_given_after_the_reveal(team: Team) -> None:
    apart(team, SEEN, OTHER)
    assert answer_records.differing(team.now(), [SEEN, OTHER]) == [SEEN, OTHER]
    team.say(*SEEN, "partly")
    assert answer_records.differing(team.now(), [SEEN, OTHER]) == [OTHER]


def test_members_differ_on_what_has_no_answer_yet(team: Team) -> None:
    apart(team, OPEN)
    assert answer_records.differing(team.now(), [OPEN]) == [OPEN]
    team.say(*OPEN, "not-met")
    assert answer_records.differing(team.now(), [OPEN]) == []


def test_members_who_agree_do_not_differ(team: Team) -> None:
    privately(team, ANSWERS, "met")
    privately(team, SECOND, "met")
    answer_records.reveal(team.live, LEADS, [SEEN])
    assert answer_records.differing(team.now(), [SEEN]) == []


def test_the_next_assessment_begins_without_the_differences_of_the_last(team: Team) -> None:
    team.signed()
    apart(team, SEEN)
    rounds.begin_assessment(team.live, LEADS, "S30")
    assert answer_records.differing(team.now(), [SEEN]) == []
    confirmations.confirm_answers(team.live, ANSWERS, [SEEN])
    assert answer_records.differing(team.now(), [SEEN]) == []
    apart(team, SEEN)
    assert answer_records.differing(team.now(), [SEEN]) == [SEEN]


def test_an_answer_confirmed_after_the_reveal_is_settled_and_a_blind_round_starts_without_it(team: Team) -> None:
    change = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))
    change_records.record_change(
        team.live, ANSWERS, change, reference="MOC-1", on="2025-03-04", what="one batch for all"
    )
    apart(team, SEEN)
    assert answer_records.differing(team.now(), [SEEN]) == [SEEN]
    confirmations.confirm_answers(team.live, ANSWERS, [SEEN])
    assert answer_records.differing(team.now(), [SEEN]) == []
    apart(team, SEEN)
    body = assessment_round.Body(system="S30", number=3, blank=True, answers=named([SEEN]))
    recorder.record(team.live, LEADS, body, slot="round S30")
    assert answer_records.differing(team.now(), [SEEN]) == []
    assert answer_records.differing(redaction.seen(team.now(), LEADS), [SEEN]) == []


def test_a_later_reveal_does_not_bring_back_what_was_settled(team: Team) -> None:
    apart(team, SEEN)
    first = team.count()
    team.say(*SEEN, "partly")
    privately(team, SECOND, "partly")
    answer_records.reveal(team.live, LEADS, [SEEN])
    revealed = {answer.who: answer.revealed for answer in team.now().records.private[SEEN]}
    assert revealed == {"TM-1": first, "TM-2": team.count()}
    assert answer_records.differing(team.now(), [SEEN]) == []


def test_roles_that_lead_see_no_more_than_members(team: Team) -> None:
    privately(team, ANSWERS, "met")
    leads = Person("FA-1", frozenset({FACILITATOR}))
    (answer,) = redaction.seen(team.now(), leads).records.private[SEEN]
    assert answer == Private("", "", "", "", revealed=0, last=team.count())


def test_two_people_of_one_name_who_signed_in_are_two(team: Team) -> None:
    first, second = (
        Person("M. Weiss", frozenset({MEMBER}), identity=f"signed in: https://id.example {subject}")
        for subject in ("a1", "b2")
    )
    privately(team, first, "met")
    privately(team, second, "not-met")
    assert [answer.value for answer in redaction.seen(team.now(), first).records.private[SEEN]] == ["met", ""]
    assert [answer.value for answer in redaction.seen(team.now(), second).records.private[SEEN]] == ["", "not-met"]
    privately(team, first, "partly")
    assert sorted(answer.value for answer in team.now().records.private[SEEN]) == ["not-met", "partly"]
