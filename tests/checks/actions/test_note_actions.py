"""The note of an answer becomes an action of its question."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.access.roles import NotAllowed
from checks.actions import note_actions
from checks.plantfile.plant import Asked
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, DAY, LOOKS_ON, Team

ASKED = ("SEP1", "group:pt-301")


def raised(team: Team, asked: Asked = ASKED) -> object:
    note_actions.raise_from_note(team.live, ANSWERS, asked, system="S30")
    stored = team.now().stored[asked].answer
    return note_actions.raised(team.now(), stored)


def test_the_note_of_an_answer_becomes_an_action_of_its_question_and_addressee(team: Team) -> None:
    team.say(*ASKED, "not-met", note="move one\n transmitter to its own manifold")
    raised(team)
    (action,) = [action for action, _ in team.now().records.actions.values()]
    assert action.what == "SEP1 of group:pt-301: move one transmitter to its own manifold"
    assert (action.owner, action.due, action.system) == (ANSWERS.name, DAY + timedelta(days=90), "S30")
    assert [(question.question, question.of) for question in action.questions] == [ASKED]
    assert (action.answer_from, action.answer_to) == ("not-met", "met")


def test_the_best_answer_is_not_to_be_improved_but_its_note_is_an_action_all_the_same(team: Team) -> None:
    team.say(*ASKED, "met", note="file the drawing")
    raised(team)
    (action,) = [action for action, _ in team.now().records.actions.values()]
    assert (action.what, action.questions) == ("SEP1 of group:pt-301: file the drawing", ())


def test_a_note_is_one_action_only_and_an_answer_without_a_note_is_none(team: Team) -> None:
    with pytest.raises(Refused, match="has no note"):
        raised(team)
    team.say(*ASKED, "not-met", note="move it")
    raised(team)
    with pytest.raises(Refused, match="it is action A-001 already"):
        raised(team)
    team.say(*ASKED, "not-met", note="move both")
    raised(team)
    assert len(team.now().records.actions) == 2


def test_it_takes_the_permission_to_raise_an_action(team: Team) -> None:
    team.say(*ASKED, "not-met", note="move it")
    with pytest.raises(NotAllowed):
        note_actions.raise_from_note(team.live, LOOKS_ON, ASKED, system="S30")
