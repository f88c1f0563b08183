"""The next assessment of a system. What is hidden and counted are house rules; starting blank now and then is common practice."""

from __future__ import annotations

from itertools import cycle

import pytest

from checks.access.roles import FACILITATOR, Person
from checks.reassessment import confirmations, rounds
from checks.state.revision_status import SIGNED, VOID
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, LEADS, Team

OWN = ("SEP1", "group:pt-301")
SHARED = {("PRO1", "plant"), ("Z01", "zone:sis")}


def test_every_third_assessment_is_blind_counted_by_those_signed_and_not_by_presses(team: Team) -> None:
    blank, values = [], cycle(("partly", "met"))
    for turn in range(6):
        for _ in range(1 + turn % 2):  # a revision signed again after a change is no assessment
            team.say("SEP4", "group:pt-301", next(values))
            team.signed()
        event = rounds.begin_assessment(team.live, LEADS, "S30")
        blank.append(event.content["blank"])
        with pytest.raises(Refused, match="is not signed yet; sign both halves of it first"):
            rounds.begin_assessment(team.live, LEADS, "S30")
        for question, of in list(team.now().records.to_answer_again):
            team.say(question, of, team.now().stored[question, of].answer.value)
        team.confirm_all()
    assert blank == [False, False, True, False, False, True]
    assert [event.content["number"] for event in team.store.events(1, kinds=("round",))] == [1, 2, 3, 4, 5, 6]


def test_an_assessment_in_which_nothing_changed_ends_with_a_revision_too(team: Team) -> None:
    team.signed()
    rounds.begin_assessment(team.live, LEADS, "S30")
    team.confirm_all()
    assert team.signed().number == 1
    assert rounds.completed(team.now(), "S30") == 1


def test_a_blind_round_hides_only_answers_that_no_other_system_rests_on(team: Team) -> None:
    team.say("SEP1", "group:lt-501")
    team.signed()
    announced = None
    while announced is None or not announced.blank:
        announced = rounds.start_of(team.now(), "S30")
        if not announced.blank:
            rounds.begin_assessment(team.live, LEADS, "S30")
            team.confirm_all()
            team.signed()
    team.blind_round()
    hidden, waiting = set(team.now().records.to_answer_again), set(team.now().records.to_confirm)
    assert hidden == set(announced.own)
    assert waiting == set(announced.shared)
    assert OWN in hidden
    assert waiting >= SHARED
    assert ("SEP1", "group:lt-501") not in hidden | waiting


def test_the_start_of_an_assessment_is_taken_back_by_who_started_it(team: Team) -> None:
    team.signed()
    before = team.now().records
    rounds.begin_assessment(team.live, LEADS, "S30")
    with pytest.raises(Refused, match="recorded by FA-1"):
        rounds.take_back(team.live, Person("FA-9", frozenset({FACILITATOR})), "S30")
    rounds.take_back(team.live, LEADS, "S30")
    after = team.now().records
    assert (after.to_confirm, after.rounds["S30"]) == (before.to_confirm, ())
    assert team.state()[0] == SIGNED
    assert rounds.begin_assessment(team.live, LEADS, "S30").content["number"] == 1


def test_a_blind_round_taken_back_shows_the_answers_again(team: Team) -> None:
    team.signed()
    team.blind_round()
    rounds.take_back(team.live, LEADS, "S30")
    assert team.now().records.to_answer_again == {}
    assert team.now().records.to_confirm == {}


def test_nothing_is_taken_back_on_which_somebody_has_built(team: Team) -> None:
    team.signed()
    rounds.begin_assessment(team.live, LEADS, "S30")
    confirmations.confirm_answers(team.live, ANSWERS, [OWN])
    count = team.count()
    with pytest.raises(Refused, match="SEP1 of group:pt-301 was confirmed or answered since"):
        rounds.take_back(team.live, LEADS, "S30")
    assert team.count() == count


def test_the_other_systems_stay_signed_when_one_begins_its_next_assessment(team: Team) -> None:
    team.signed()
    team.blind_round()
    team.say(*OWN, "partly")
    assert team.state()[0] == VOID
    assert team.state("S40")[0] != VOID
