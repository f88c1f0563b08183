"""An answer whose evidence has ended is answered again with current evidence, which may have the same text."""

from __future__ import annotations

from checks.recording import answer_records
from tests.checks.team import ANSWERS, EVIDENCE, Team
from tests.pages.shown import Screen, box, fine, said, type_in

SEEN = ("SEP1", "group:pt-301")


def evidence_of(team: Team) -> str:
    """Evidence of the effective answer."""
    answer = team.now().assessment.answers.get(*SEEN)
    assert answer is not None
    return answer.evidence


def test_ended_evidence_leaves_an_empty_box_and_the_same_text_entered_again_counts(team: Team, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    assert box(at, "evidence", *SEEN).value == "walk-down 12"
    evidence = answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.withdraw_evidence(team.live, ANSWERS, SEEN, number=evidence.seq, reason="the hook-up was changed")
    at.session_state["beside"] = True
    fine(at.run())
    assert box(at, "evidence", *SEEN).value == ""
    assert (
        "All its evidence has expired or was withdrawn: the answer counts as claimed until it is answered again"
        in said(at)
    )
    fine(type_in(at, "evidence", *SEEN, "walk-down 12").run())
    assert evidence_of(team) == box(at, "evidence", *SEEN).value == "walk-down 12"
    assert "All its evidence has expired" not in said(at)


def test_a_note_alone_does_not_restore_ended_evidence(team: Team, screen: Screen) -> None:
    evidence = answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.withdraw_evidence(team.live, ANSWERS, SEEN, number=evidence.seq, reason="the hook-up was changed")
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    fine(type_in(at, "note", *SEEN, "to be looked at").run())
    assert team.now().stored[SEEN].answer.note == "to be looked at"
    assert evidence_of(team) == ""
