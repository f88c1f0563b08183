"""An answer whose evidence ended is given again on the screen with what is seen now, be it the same words."""

from __future__ import annotations

from checks.recording import session
from tests.checks.team import ANSWERS, EVIDENCE, Team
from tests.pages.shown import Screen, box, fine, said, type_in

SEEN = ("SEP1", "group:pt-301")


def evidence_of(team: Team) -> str:
    """What the answer speaks with."""
    held = team.now().assessment.answers.get(*SEEN)
    assert held is not None
    return held.evidence


def test_evidence_that_ended_leaves_an_empty_box_and_the_same_words_written_again_speak(
    team: Team, screen: Screen
) -> None:
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    assert box(at, "evidence", *SEEN).value == "walk-down 12"
    shown = session.show(team.live, ANSWERS, SEEN, EVIDENCE)
    session.take_back(team.live, ANSWERS, SEEN, number=shown.seq, reason="the hook-up was changed")
    at.session_state["beside"] = True
    fine(at.run())
    assert box(at, "evidence", *SEEN).value == ""
    assert "None of it holds any more: the answer counts as claimed until it is given again" in said(at)
    fine(type_in(at, "evidence", *SEEN, "walk-down 12").run())
    assert evidence_of(team) == box(at, "evidence", *SEEN).value == "walk-down 12"
    assert "None of it holds any more" not in said(at)


def test_a_note_alone_makes_no_evidence_of_what_ended(team: Team, screen: Screen) -> None:
    shown = session.show(team.live, ANSWERS, SEEN, EVIDENCE)
    session.take_back(team.live, ANSWERS, SEEN, number=shown.seq, reason="the hook-up was changed")
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    fine(type_in(at, "note", *SEEN, "to be looked at").run())
    assert team.now().stored[SEEN].answer.note == "to be looked at"
    assert evidence_of(team) == ""
