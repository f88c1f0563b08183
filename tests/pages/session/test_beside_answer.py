"""Evidence, dissents and private answers beside an answer of a session."""

from __future__ import annotations

from dataclasses import replace

from checks.access.roles import FACILITATOR, MEMBER
from checks.recording import answer_records
from tests.checks.team import ANSWERS, DISSENT, LEADS, Team
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Screen, fine, said, unescaped

SEEN = ("SEP1", "group:pt-301")


def test_what_was_refused_stays_as_it_was_typed_and_what_is_stored_leaves_an_empty_form(
    team: Team, screen: Screen
) -> None:
    at = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER), "beside")
    at.text_input(key="evidence_identifier").set_value("D-7")
    press(at, "Record this evidence")
    (why,) = [unescaped(element.value) for element in at.error]
    assert "what it shows, in one line" in why
    assert at.text_input(key="evidence_identifier").value == "D-7"
    at.text_input(key="evidence_shows").set_value("two trays")
    fine(press(at, "Record this evidence"))
    assert [evidence.identifier for evidence in team.now().records.evidence[SEEN]] == ["D-7"]
    assert at.text_input(key="evidence_identifier~1").value == ""


def test_what_was_typed_about_one_answer_is_not_there_at_the_next(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER), "beside")
    at.text_input(key="private_note").set_value("one tray")
    fine(at.run())
    fine(press(at, "Next"))
    (note,) = [element for element in at.text_input if element.key and element.key.startswith("private_note")]
    assert note.value == ""
    assert team.now().records.private == {}


def test_private_answers_stay_private_until_the_reveal(team: Team, screen: Screen) -> None:
    answer_records.answer_privately(team.live, ANSWERS, SEEN, value="not-met", note="one tray, I saw it")
    other = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-2", MEMBER), "beside")
    assert "one tray, I saw it" not in said(other)
    assert "1 private answer not yet revealed." in said(other)
    leads = as_(screen("common-cause", group="pt-301", q="SEP1"), "FA-1", FACILITATOR)
    own = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER), "beside")
    assert "TM-1: **Not met** (visible to you only) one tray, I saw it" in said(own)
    assert "one tray, I saw it" not in said(as_(own, "TM-2", MEMBER)), "the same roles under another name"
    fine(press(leads, "Reveal the private answers to 1 question"))
    assert "one tray, I saw it" in said(unfold(other, "beside"))


def test_members_differ_on_screen_until_the_answer_is_given(team: Team, screen: Screen) -> None:
    for name, value in (("TM-1", "met"), ("TM-2", "not-met")):
        answer_records.answer_privately(team.live, replace(ANSWERS, name=name), SEEN, value=value)
    answer_records.reveal(team.live, LEADS, [SEEN])
    at = as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER)
    assert "**Members differ on:**\n- SEP1: TM-1: **Met**; TM-2: **Not met**" in said(at)
    fine(at.button_group(key="value_1_SEP1_group:pt-301").set_value("partly").run())
    assert "Members differ on" not in said(at)


def test_an_open_dissent_adopts_the_less_favourable_answer_on_screen(team: Team, screen: Screen) -> None:
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    at = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER), "beside")
    assert "maintenance technician answers **Not met**: one tray" in said(at)
    assert "TM-2" not in said(at), "a member sees roles, not names"
    leads = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "FA-1", FACILITATOR), "beside")
    assert "TM-2, maintenance technician answers" in said(leads)
