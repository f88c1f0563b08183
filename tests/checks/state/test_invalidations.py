"""What invalidates a revision no more after it is taken back."""

from __future__ import annotations

from checks.recording.answer_history import take_back
from checks.state.revision_status import SIGNED, VOID
from tests.checks.team import ANSWERS, Team

SEEN = ("SEP1", "group:pt-301")


def test_an_answer_taken_back_makes_the_signature_valid_again_that_it_invalidated(team: Team) -> None:
    team.signed()
    team.say(*SEEN, "not-met")
    assert team.state()[0] == VOID
    take_back(team.live, ANSWERS, SEEN, seen=team.now().stored[SEEN].id)
    assert team.state()[0] == SIGNED
    team.say(*SEEN, "not-met")
    team.say("PRO1", "plant", "not-met")
    take_back(team.live, ANSWERS, SEEN, seen=team.now().stored[SEEN].id)
    status, why = team.state()
    assert status == VOID
    assert "PRO1 of plant was answered not-met" in why


def test_a_revision_that_rests_on_an_answer_is_void_when_it_is_taken_back(team: Team) -> None:
    team.say(*SEEN, "not-met")
    team.put_up()
    take_back(team.live, ANSWERS, SEEN, seen=team.now().stored[SEEN].id)
    assert team.state()[0] == VOID
