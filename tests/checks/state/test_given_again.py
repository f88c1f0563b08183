"""When recorded evidence expires or is withdrawn, the evidence text of the answer no longer counts until it is given again."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.reassessment import due_list
from checks.recording import answer_records, plant_import
from checks.signoff import revisions
from tests.checks.team import ANSWERS, DAY, EVIDENCE, Team, ahead, midnight

SEEN = ("SEP1", "group:pt-301")
ASKED = ("SEP4", "group:pt-301")


def evidence_of(team: Team, asked: tuple[str, str]) -> str:
    """The evidence text of the effective answer."""
    answer = team.now().assessment.answers.get(*asked)
    assert answer is not None
    return answer.evidence


@pytest.mark.parametrize("days", [0, 1, 2, 30])
def test_an_answer_speaks_with_what_is_written_on_a_later_day_than_its_evidence_held(team: Team, days: int) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(1)})
    answering, later = team.on(DAY + timedelta(days=days)), team.on(DAY + timedelta(days=40))
    answering.say("SEP1", "group:pt-301", evidence="walk-down 14")
    assert evidence_of(later, SEEN) == ("walk-down 14" if days > 1 else "")
    assert later.now().ended(SEEN) is (days <= 1)
    assert [ending.ended for ending in due_list.evidence_ending(later.now())] == ([True] if days <= 1 else [])


def test_an_answer_given_after_its_evidence_was_withdrawn_speaks_with_what_is_written(team: Team) -> None:
    team.say(*ASKED, "met")
    shown = [answer_records.add_evidence(team.live, ANSWERS, ASKED, EVIDENCE) for _ in range(2)]
    answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=shown[0].seq, reason="another plant's")
    team.say(*ASKED, "met", evidence="drawing 5")
    assert evidence_of(team, ASKED) == "drawing 5"
    answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=shown[1].seq, reason="lost")
    assert evidence_of(team, ASKED) == "", "the answer was given before this one was withdrawn"
    team.say(*ASKED, "met", evidence="drawing 5")
    assert evidence_of(team, ASKED) == "drawing 5", "the same words, written again"
    team.say(*ASKED, "met", evidence="")
    assert (evidence_of(team, ASKED), team.now().ended(ASKED)) == ("", False)


def test_evidence_that_is_withdrawn_after_its_date_says_no_more_than_its_date_did(team: Team) -> None:
    shown = answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(1)})
    later = team.on(DAY + timedelta(days=5))
    later.say("SEP1", "group:pt-301", evidence="walk-down 14")
    answer_records.withdraw_evidence(later.live, ANSWERS, SEEN, number=shown.seq, reason="its date has passed")
    assert evidence_of(later, SEEN) == "walk-down 14"


def test_new_evidence_on_record_speaks_for_an_answer_that_was_a_claim(team: Team) -> None:
    team.say(*ASKED, "met", evidence="")
    first = answer_records.add_evidence(team.live, ANSWERS, ASKED, EVIDENCE)
    answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=first.seq, reason="lost")
    assert team.now().ended(ASKED)
    answer_records.add_evidence(team.live, ANSWERS, ASKED, {**EVIDENCE, "identifier": "H-302"})
    assert (evidence_of(team, ASKED), team.now().ended(ASKED)) == ("H-302", False)


def test_an_answer_given_again_after_its_evidence_ended_is_fixed_and_signed_with_it(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(1)})
    later = team.on(DAY + timedelta(days=2))
    later.say("SEP1", "group:pt-301", evidence="walk-down 14")
    later.put_up()
    answers = revisions.fixed_body(later.live, later.latest())["facts"]["plant"]["answers"]
    (fixed,) = (answer["evidence"] for answer in answers if (answer["question"], answer["of"]) == SEEN)
    assert fixed == "walk-down 14"
    later.sign("safety")


def test_a_plant_file_that_comes_back_leaves_a_claim_a_claim_and_one_that_says_more_is_an_answer(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(1)})
    later = team.on(DAY + timedelta(days=2))
    moment = midnight(later.now().day).isoformat(timespec="milliseconds")
    out = later.now().file()
    plant_import.import_plant(later.store, ANSWERS, out, at=moment)
    assert later.now().ended(SEEN)
    answers = [
        answer.model_copy(update={"evidence": "walk-down 14"}) if (answer.question, answer.of) == SEEN else answer
        for answer in out.answers
    ]
    ticked = {SEEN: later.now().stored[SEEN].id}  # of the same day as the stored one, so it is asked for
    file = out.model_copy(update={"answers": answers})
    plant_import.import_plant(later.store, ANSWERS, file, at=moment, ticked=ticked)
    assert evidence_of(later, SEEN) == "walk-down 14"
