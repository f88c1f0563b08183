"""A blind round on the screens: those who answer find the earlier answers only in revisions fixed before."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER
from checks.journal.append import Entry
from checks.plantfile import plant_file
from checks.recording import answer_records
from tests.checks.team import ANSWERS, DISSENT, EVIDENCE, LEADS, Team, ahead
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import (
    SCREENS,
    Handed,
    OnScreen,
    Screen,
    answers,
    box,
    fine,
    rows,
    said,
    tables,
    unescaped,
    where,
)
from tests.rule import Rule

SEEN = ("SEP1", "group:pt-301")
OLD = ("OldWalkDown5512", "old Drawing3307", "OldReason8841", "OldSentence6620")
"""What was written with the earlier answers, and what stood beside them; known nowhere else."""


@pytest.fixture(scope="module")
def begun(ready_file: Team, tmp_path_factory: pytest.TempPathFactory) -> Team:
    """S30 was signed three times over, and its third re-assessment has begun."""
    team = ready_file.copy(tmp_path_factory.mktemp("begun") / "answers.sqlite3")
    team.say(*SEEN, "met", evidence=OLD[0])
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "shows": OLD[1], "valid_until": ahead(9)})
    answer_records.record_dissent(team.live, ANSWERS, SEEN, {**DISSENT, "reason": OLD[2]})
    answer_records.close_dissent(team.live, ANSWERS, SEEN, who="TM-2", shown_by="photo 7")
    answer_records.answer_privately(team.live, ANSWERS, SEEN, value="partly", note=OLD[3])
    answer_records.reveal(team.live, LEADS, [SEEN])
    team.signed()
    team.hide_all()
    return team


@pytest.fixture
def fresh(begun: Team, on_screen: OnScreen) -> Team:
    """The same in a database of its own, on which the screens work too."""
    return on_screen(begun)


def opened(at: AppTest, name: str, *roles: str) -> AppTest:
    """The same browser with this person before it, and with the folds of a session open."""
    return unfold(as_(at, name, *roles), "beside", "listed")


def everything(at: AppTest) -> str:
    """All texts, boxes and tables of a screen."""
    boxes = [str(one.value) for kind in (at.text_input, at.text_area) for one in kind]
    return "\n".join([said(at), *boxes, *(one.to_string() for one in tables(at, ""))])


@pytest.mark.parametrize("roles", [(FACILITATOR,), (MEMBER, ASSESSOR)])
def test_no_screen_shows_who_answers_an_earlier_answer(fresh: Team, screen: Screen, roles: tuple[str, ...]) -> None:
    assert SEEN in fresh.now().records.to_answer_again
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                where = {"group": "pt-301", "q": "SEP1"} if url_path == "common-cause" else {}
                at = opened(screen(url_path, **where), "XX-1", *roles)
                assert not [text for text in (*OLD, "walk-down 12") if text in everything(at)]


def test_who_reviews_and_does_not_answer_sees_them(fresh: Team, screen: Screen) -> None:
    assert fresh.now().records.to_answer_again
    shown = everything(opened(screen("common-cause", group="pt-301", q="SEP1"), "IA-1", ASSESSOR))
    assert [one for one in OLD if one in shown] == list(OLD)


def test_what_was_fixed_before_is_compared_with_now_for_who_does_not_answer(fresh: Team, screen: Screen) -> None:
    fresh.say("SEP1", "group:pt-301", "partly", evidence="walk-down 15")
    at = opened(screen("changed", system="S30", to="now"), "IA-1", ASSESSOR)
    (row,) = rows(at, "Answers that differ")
    assert (row["Question"], row["Before"], row["After"]) == ("SEP1", "Met", "Partly")
    theirs = opened(screen("changed", system="S30", to="now"), "TM-1", MEMBER)
    assert not [one for one in tables(theirs, "") if "Evidence before" in one]
    assert "to answer again; earlier answers are not compared with now." in said(theirs)


def test_nothing_is_put_up_for_review_while_answers_are_to_be_given_anew(fresh: Team, screen: Screen) -> None:
    fresh.say(*SEEN, "partly", evidence="walk-down 15")
    before = fresh.count()
    at = press(opened(screen("sign-off", system="S30"), "FA-1", FACILITATOR), "Submit for review")
    assert any("to answer again; answer them first" in unescaped(one.value) for one in at.error)
    assert fresh.count() == before


def test_progress_and_lists_count_a_hidden_answer_as_open(fresh: Team, screen: Screen) -> None:
    at = opened(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER)
    assert "**0 of 26 answered**" in said(at)
    assert {row["Answer"] for row in rows(at, "All answers of this group")} == {"Not answered"}
    fine(answers(at, *SEEN).set_value("not-met").run())
    assert "**1 of 26 answered**" in said(at)
    assert fresh.now().stored[SEEN].answer.evidence == ""
    (left,) = {row["Open questions"] for row in rows(screen("plant"), "Functions") if row["Function"] == "SIF-301"}
    counted = fresh.now().assessment.function("SIF-301").groups
    assert int(left) > sum(one.unanswered for one in counted)


def test_most_decisive_next_leads_to_a_hidden_answer_too(fresh: Team, screen: Screen) -> None:
    at = opened(screen("cyber", zone="sis", q="Z01"), "TM-1", MEMBER)
    (button,) = [one for one in at.button if one.label == "Most decisive next"]
    fine(button.click().run())
    assert "Every question has an answer." not in said(at)
    assert (str(where(at, "q")), "zone:sis") in fresh.now().records.to_answer_again
    assert where(at, "q") != "Z01"


def test_an_answer_that_somebody_gave_anew_meanwhile_is_not_overwritten(fresh: Team, screen: Screen) -> None:
    at = opened(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER)
    assert answers(at, *SEEN).value is None
    fresh.say(*SEEN, "partly", evidence="walk-down 15", by="TM-2")
    answers(at, *SEEN).set_value("not-met").run()
    assert fresh.now().stored[SEEN].answer.value == "partly"
    assert answers(at, *SEEN).value == "partly"
    assert box(at, "evidence", *SEEN).value == "walk-down 15"


def test_gap_list_and_plant_file_go_out_without_what_is_hidden(team: Team, screen: Screen, handed_over: Handed) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence=OLD[0])
    told = [{"question": question, "of": of} for question, of in team.now().stored]
    body = {"system": "S30", "number": 3, "blank": True, "answers": told}
    team.store.record(1, Entry("round", body, LEADS.name, slot="round S30"))
    at = opened(screen("zones", zone="sis"), "FA-1", FACILITATOR)
    assert "Blind round: 1 gap hidden until answered again" in said(at)
    assert not tables(at, "Gaps of sis")
    team.say("Z02", "zone:sis", "partly")
    fine(at.run())
    assert [row["Id"] for row in rows(at, "Gaps of sis")] == ["Z02"]
    listed = handed_over("gaps-sis.csv").decode()
    assert "Z02" in listed
    assert "Z01" not in listed
    assert "1 gap hidden until answered again" in listed
    opened(screen("plant"), "FA-1", FACILITATOR)
    out = plant_file.from_bytes("out.yaml", handed_over("plant-1.yaml"))
    assert [(one.question, one.of) for one in out.answers] == [("Z02", "zone:sis")]
