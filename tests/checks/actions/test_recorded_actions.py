"""Actions in the journal: raised, reported as done, verified, and imported from an edited list."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.actions import recorded_actions
from checks.actions.action_rules import Action
from checks.actions.action_updates import Proposed, Update
from checks.text.faults import Refused
from tests.checks.team import DAY, LEADS, Team


def _raised(team: Team, what: str) -> Action:
    fields = {"what": what, "owner": "TM-1", "due": DAY + timedelta(days=30), "system": "S30"}
    key = recorded_actions.raise_one(team.live, LEADS, fields).content["id"]
    return recorded_actions.held(team.now())[key]


def test_what_its_owner_calls_done_stays_on_the_list_until_somebody_else_closes_it(team: Team) -> None:
    raised = _raised(team, "split the taps")
    recorded_actions.done(team.live, LEADS, raised.id, evidence="photo 3")
    (action,) = recorded_actions.by_age(team.now())
    assert (action.state, action.evidence) == ("done", "photo 3")
    with pytest.raises(Refused, match="somebody other than the action owner"):
        recorded_actions.close(team.live, LEADS, raised.id, evidence="walk-down 31", verifier="tm-1")
    recorded_actions.close(team.live, LEADS, raised.id, evidence="walk-down 31", verifier="OW-1")
    assert recorded_actions.by_age(team.now()) == []


def test_a_list_is_taken_over_whole_with_ids_in_a_row(team: Team) -> None:
    first, second = _raised(team, "split the taps"), _raised(team, "move the cable")
    new = [first.model_copy(update={"id": "A-000", "what": what}) for what in ("one", "two")]
    later = second.model_copy(update={"owner": "OW-1"})
    recorded_actions.take_over(team.live, LEADS, Proposed((Update(3, second, later),), tuple(new), 1))
    stored = recorded_actions.held(team.now())
    assert {key: (raised.what, raised.owner) for key, raised in stored.items()} == {
        "A-001": ("split the taps", "TM-1"),
        "A-002": ("move the cable", "OW-1"),
        "A-003": ("one", "TM-1"),
        "A-004": ("two", "TM-1"),
    }


def test_a_list_of_which_one_line_cannot_be_is_not_taken_over_in_part(team: Team) -> None:
    raised = _raised(team, "split the taps")
    count = team.count()
    better = raised.model_copy(update={"owner": "OW-1"})
    elsewhere = raised.model_copy(update={"id": "A-002", "system": "S99"})
    with pytest.raises(Refused, match="S99"):
        recorded_actions.take_over(team.live, LEADS, Proposed((Update(2, raised, better),), (elsewhere,), 0))
    assert team.count() == count
    assert recorded_actions.held(team.now()) == {raised.id: raised}


def test_a_list_that_is_taken_over_a_second_time_adds_nothing(team: Team) -> None:
    raised = _raised(team, "split the taps")
    proposed = Proposed((), (raised.model_copy(update={"id": "A-002", "what": "move the cable"}),), 1)
    recorded_actions.take_over(team.live, LEADS, proposed)
    with pytest.raises(Refused, match="A-002 changed since the list was read; import the list again"):
        recorded_actions.take_over(team.live, LEADS, proposed)
    assert len(recorded_actions.held(team.now())) == 2


def test_an_action_that_is_not_there_is_refused_by_its_name(team: Team) -> None:
    with pytest.raises(Refused, match="there is no action A-007; choose one of the list"):
        recorded_actions.drop(team.live, LEADS, "A-007", reason="gone")
