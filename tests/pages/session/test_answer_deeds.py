"""What is done with an answer at the session: taken back, its history seen, its note made an action, who is here."""

from __future__ import annotations

from checks.access.roles import FACILITATOR, MEMBER
from checks.recording import answer_records
from tests.checks.team import LEADS, Team, ahead
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Screen, answers, fine, said, type_in

NEW = ("SEP4", "group:pt-301")


def test_an_answer_is_taken_back_and_its_history_says_so(team: Team, screen: Screen) -> None:
    at = as_(screen("common-cause", group="pt-301", q="SEP4"), "TM-7", MEMBER)
    fine(answers(at, *NEW).set_value("met").run())
    fine(answers(at, *NEW).set_value("partly").run())
    press(at, "Take my answer back")
    assert answers(at, *NEW).value == "met"
    assert [message.value for message in at.success] == [
        "Your answer is taken back\\. What stood before stands again\\."
    ]
    press(at, "Take my answer back")
    assert NEW not in team.now().stored
    assert answers(at, *NEW).value is None
    shown = said(unfold(at, "beside"))
    for line in ("TM-7: **Met**", "TM-7: taken back, **Met** stands again", "TM-7: taken back, no answer stands"):
        assert line in shown
    fine(answers(at, *NEW).set_value("not-met").run())
    assert team.now().stored[NEW].answer.value == "not-met"


def test_nobody_takes_back_the_answer_of_somebody_else(team: Team, screen: Screen) -> None:
    team.say(*NEW, "met", by="TM-2")
    at = as_(screen("common-cause", group="pt-301", q="SEP4"), "TM-7", MEMBER)
    assert "take_back_answer" not in [button.key for button in at.button]
    fine(as_(at, "TM-2", MEMBER))
    assert "take_back_answer" in [button.key for button in at.button]


def test_a_note_becomes_an_action_with_one_press(team: Team, screen: Screen) -> None:
    at = as_(screen("common-cause", group="pt-301", q="SEP4"), "TM-7", MEMBER)
    fine(answers(at, *NEW).set_value("not-met").run())
    fine(type_in(at, "note", *NEW, "move one *tray*").run())
    press(at, "Make the note an action")
    (action,) = [action for action, _ in team.now().records.actions.values()]
    assert (action.what, action.owner, action.system) == ("SEP4 of group:pt-301: move one *tray*", "TM-7", "S30")
    assert at.button(key="note_action").disabled
    assert "The note is action A-001" in said(at)


def test_who_is_here_is_recorded_at_the_session_with_the_last_people_filled_in(team: Team, screen: Screen) -> None:
    people = [("TM-1", "operations"), ("PX-3", "pump specialist")]
    answer_records.record_attendance(team.live, LEADS, system="S30", on="2025-03-04", people=people)
    at = unfold(as_(screen("common-cause", group="pt-301", q="SEP4"), "FA-1", FACILITATOR), "attended")
    at.text_input(key="attend_name_2").set_value("OT-2")
    at.selectbox(key="attend_role_2").set_value("OT security")
    press(at, "Record attendance")
    today = [(entry.name, entry.role) for entry in team.now().records.attended["S30"] if entry.on == ahead(0)]
    assert today == [*people, ("OT-2", "OT security")]
    member = unfold(as_(screen("common-cause", group="pt-301", q="SEP4"), "TM-1", MEMBER), "attended")
    assert "The facilitator records who is here." in said(member)
