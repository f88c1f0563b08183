"""The Sign-off screen, and evidence, dissents and private answers in a session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from checks.access import roles
from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, VIEWER
from checks.reassessment import rounds
from checks.record_files import record_file, verification
from checks.recording import answer_records
from checks.signoff import key_files
from tests.checks.team import ANSWERS, DAY, DISSENT, EVIDENCE, LEADS, PHRASE, Team, ahead
from tests.pages.at_the_screen import as_, press, sign, unfold
from tests.pages.shown import Screen, fine, rows, said, tables, unescaped

SEEN = ("SEP1", "group:pt-301")


def test_a_system_is_submitted_signed_by_both_and_then_invalidated_by_an_answer(team: Team, screen: Screen) -> None:
    at = fine(screen("sign-off", system="S30"))
    assert "## S30 is in progress" in said(at)
    assert said(at).count("Nothing is open before signing.") == 2
    fine(press(as_(at, "FA-1", FACILITATOR), "Submit for review"))
    assert "## S30 is under review" in said(at)
    fine(sign(as_(at, "IA-1", ASSESSOR), team, "safety"))
    assert "Signed by **IA-1** on" in said(at)
    fine(sign(as_(at, "SR-1", REVIEWER), team, "security"))
    assert "## S30 is signed" in said(at)
    team.say("SEP1", "group:pt-301", "partly")
    later = fine(screen("sign-off", system="S30"))
    assert "## S30 is void" in said(later)
    assert "SEP1 of group:pt-301 was answered partly" in said(later)


def test_a_key_file_of_an_older_derivation_signs_and_a_hint_says_so(
    team: Team, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Key files of tests are as cheap to open as those of earlier releases."""
    team.put_up()
    at = fine(sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety"))
    assert set(team.latest().signatures) == {"safety"}
    assert "protected by an older derivation" in said(at)
    monkeypatch.setattr(key_files, "CURRENT", key_files.ITERATIONS)
    at = fine(sign(as_(screen("sign-off", system="S30"), "SR-1", REVIEWER), team, "security"))
    assert set(team.latest().signatures) == {"safety", "security"}
    assert "older derivation" not in said(at)


def test_a_wrong_passphrase_signs_nothing_and_says_so(team: Team, screen: Screen) -> None:
    team.put_up()
    at = sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety", "another phrase")
    assert any("the passphrase does not open this file" in unescaped(element.value) for element in at.error)
    assert team.latest().signatures == {}


def test_somebody_who_answered_is_refused_at_the_screen(team: Team, screen: Screen) -> None:
    team.say("SEP4", "group:pt-301")
    team.put_up()
    at = sign(as_(screen("sign-off", system="S30"), "tm-1", ASSESSOR), team, "safety")
    (refused,) = [unescaped(element.value) for element in at.error]
    assert "tm-1 took part in S30: answered on" in refused
    assert "this key is enrolled for IA-1, not for tm-1" in refused


def test_the_reviewer_sees_the_evidence_before_the_answer(team: Team, screen: Screen) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "strength": 4})
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR)
    text = said(at)
    assert "**3 of 3 scoring answers, drawn at random.**" in text
    assert "H-301 rev 4" in text
    assert "(strength 4 of 5)" in text
    assert text.index("H-301 rev 4") < text.index("What the team answered", text.index("H-301 rev 4"))


def test_what_was_drawn_for_the_reviewer_stays_and_is_signed(team: Team, screen: Screen) -> None:
    def drawn(at: AppTest) -> set[tuple[str, str]]:
        """The answers of the sample that is shown."""
        captions = [
            unescaped(element.value).split(" · ") for element in at.caption if " · zone " in unescaped(element.value)
        ]
        return {(name, of.replace("zone ", "zone:")) for name, of in captions}

    team.put_up()
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    assert "**5 of 120 scoring answers, drawn at random.**" in said(at)
    first = drawn(at)
    assert len(first) == 5
    again = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    assert drawn(again) == first, "another browser shows the same"
    assert drawn(as_(again, "SR-2", REVIEWER)) != first
    both = drawn(fine(press(at, "Draw another sample")))
    assert len(both) == 10
    assert first < both
    fine(sign(at, team, "security"))
    sample = team.latest().signatures["security"].sample
    assert sample is not None
    assert (set(sample[:5]), set(sample)) == (first, both)


def test_comments_on_a_revision_sent_back_reach_the_team(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    at.text_area(key="back_security_comments").set_value("Which laptop <b>was</b> it?")
    fine(press(at, "Send back to the team"))
    assert "## S30 is sent back" in said(at)
    assert "Which laptop <b>was</b> it?" in said(at)


def test_the_team_replies_to_a_comment_and_the_thread_is_still_there_with_the_next_revision(
    team: Team, screen: Screen
) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    at.text_area(key="comment_text").set_value("Which laptop <b>was</b> it?")
    fine(press(at, "Send the comment"))
    assert "## S30 is under review" in said(at)
    at = as_(at, "TM-1", MEMBER)
    assert "Which laptop <b>was</b> it?" in said(at)
    (question,) = team.latest().thread
    (where_to,) = (box for box in at.selectbox if box.label == "Where to")
    assert len(where_to.options) == 1, "a member begins no comment"
    (reply,) = (box for box in at.text_area if box.label == "Comment")
    reply.set_value("The one of the workshop.")
    fine(press(at, "Send the comment"))
    assert [(comment.text, comment.reply_to) for comment in team.latest().thread] == [
        ("Which laptop <b>was</b> it?", 0),
        ("The one of the workshop.", question.cause.seq),
    ]
    team.say("SEP1", "group:pt-301", "partly")
    team.put_up()
    at = fine(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR))
    assert "The one of the workshop." not in said(at)
    at = unfold(at, "earlier_comments")
    assert "**SR-1**" in said(at)
    assert "The one of the workshop." in said(at)


def test_without_a_comment_the_team_sees_no_box_for_one(team: Team, screen: Screen) -> None:
    team.put_up()
    at = fine(as_(screen("sign-off", system="S30"), "TM-1", MEMBER))
    assert "Comments of the review" not in said(at)
    assert "Send the comment" not in [button.label for button in at.button]


def test_a_key_is_made_shown_once_and_enrolled_by_the_owner(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    at.text_input(key="make_phrase").set_value("too short")
    at.text_input(key="make_again").set_value("too short")
    press(at, "Create a key")
    assert [unescaped(element.value) for element in at.error] == [
        "the passphrase has 9 characters; take at least 12: a few words that you remember"
    ]
    for name in ("make_phrase", "make_again"):
        at.text_input(key=name).set_value(PHRASE)
    fine(press(at, "Create a key"))
    (line,) = [element.value for element in at.code]
    at.text_area(key="enrol_public").set_value(line)
    at.text_input(key="enrol_name").set_value("IA-2")
    at.multiselect(key="enrol_roles").set_value([ASSESSOR])
    fine(press(at, "Enrol"))
    assert [row["Holder"] for row in rows(at, "Signing keys")] == ["IA-1", "SR-1", "IA-2"]
    assert "PRIVATE" not in "".join(event.body for event in team.store.events(1))


def test_a_key_is_withdrawn_and_once_more_from_an_earlier_day(team: Team, screen: Screen) -> None:
    team.signed()
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    key = next(key.id for key in team.now().records.keys.values() if key.name == "IA-1")
    at.selectbox(key="withdraw_key").set_value(key)
    at.date_input(key="withdraw_from_day").set_value(DAY + timedelta(days=1))
    at.text_input(key="withdraw_reason").set_value("the laptop is gone")
    fine(press(at, "Withdraw"))
    assert "## S30 is signed" in said(at), "what it signed before that day goes on counting"
    at.selectbox(key="withdraw_key~1").set_value(key)
    at.date_input(key="withdraw_from_day~1").set_value(DAY - timedelta(days=1))
    at.text_input(key="withdraw_reason~1").set_value("it was gone earlier")
    fine(press(at, "Withdraw"))
    assert "## S30 is under review" in said(at)
    (row,) = [row for row in rows(at, "Signing keys") if row["Key"] == key]
    assert (row["Withdrawn from"], row["Reason"]) == (ahead(-1), "it was gone earlier")


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


def test_the_owner_accepts_gaps_by_name_reason_and_day(team: Team, screen: Screen) -> None:
    team.say("Z01", "zone:sis", "not-met")
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    press(at, "Accept as residual risk")
    assert any("select the gaps to accept" in unescaped(element.value) for element in at.error)
    at.multiselect(key="accept_gaps").set_value(["sis Z01"])
    at.text_input(key="accept_reason").set_value("locked and alarmed")
    fine(press(at, "Accept as residual risk"))
    acceptance = team.now().records.accepted["S30", "sis", "Z01"]
    assert (acceptance.reason, acceptance.cause.by) == ("locked and alarmed", "OW-1")
    (row,) = rows(at, "Accepted residual risks")
    assert row["Gap"] == "Z01"
    assert row["Valid"] == "yes"


def test_who_attended_is_recorded_with_roles_and_cannot_sign(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR), "attended")
    at.text_input(key="attend_name_0").set_value("IA-1")
    at.selectbox(key="attend_role_0").set_value("operations")
    fine(press(at, "Record attendance"))
    (entry,) = team.now().records.attended["S30"]
    assert (entry.name, entry.role, entry.on) == ("IA-1", "operations", ahead(0))
    team.put_up()
    refused = sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety")
    assert any("IA-1 took part in S30: attended a session on" in unescaped(element.value) for element in refused.error)


def test_the_report_the_annex_and_the_record_are_exported_and_entered_in_the_journal(
    team: Team, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: dict[str, Callable[[], bytes | str]] = {}

    def button(label: str, data: Callable[[], bytes | str], file_name: str, **_: object) -> bool:
        offered[file_name] = data
        return not label

    monkeypatch.setattr(st, "download_button", button)
    team.signed()
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    fine(at.text_input(key="reader").set_value("SR-9").run())
    before = team.count()
    papers = [offered[f"{name}-S30-0.pdf"]() for name in ("safety-report", "security-annex")]
    assert [paper[:5] for paper in papers] == [b"%PDF-", b"%PDF-"]
    record = str(offered["record-S30-0.json"]())
    assert list(verification.verify(record_file.from_text("record", record)))
    exports = [(event.content["what"], event.by) for event in team.store.events(1, after=before, kinds=("export",))]
    assert exports == [(what, "OW-1") for what in ("safety report", "security annex for SR-9", "record")]


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


@pytest.mark.parametrize("url_path", ["common-cause", "cyber", "zones", "due", "again", "changed", "sign-off"])
def test_a_viewer_sees_none_of_what_needs_a_role(team: Team, screen: Screen, url_path: str) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence="the secret place")
    team.put_up()
    at = as_(screen(url_path), "VW-1", VIEWER)
    assert "Nothing is shown here" in said(at)
    assert "the secret place" not in said(at)


@pytest.mark.parametrize("url_path", ["plant", "redundancy"])
def test_a_viewer_sees_results_and_the_number_of_gaps(team: Team, screen: Screen, url_path: str) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence="the secret place")
    at = as_(screen(url_path), "VW-1", VIEWER)
    assert "the secret place" not in said(at)
    assert "Nothing is shown here" not in said(at)
    assert tables(at, "")


@pytest.mark.usefixtures("team")
def test_the_roles_at_the_head_are_those_of_the_trade(screen: Screen) -> None:
    at = fine(screen("plant"))
    assert at.multiselect(key="roles_box").options == list(roles.ROLES)
    assert at.multiselect(key="roles_box").value == [FACILITATOR, MEMBER]


def test_a_signer_whose_name_reads_like_that_of_the_team_is_asked_and_may_sign(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "FA 1", ASSESSOR)
    (asked,) = [unescaped(element.value) for element in at.warning]
    assert asked.startswith("FA-1 took part in this assessment. Is that you?")
    assert not as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR).warning


def test_the_owner_sees_that_a_key_holder_reads_like_somebody_of_the_team(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    assert not at.warning
    team.enrol("safety", name="TM-l")
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    (note,) = [unescaped(element.value) for element in at.warning]
    assert note.startswith("The key holder TM-l reads like TM-1 of this plant.")
    assert not unfold(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), "keys").warning


def test_a_name_that_misleads_is_refused_in_the_name_box_and_the_earlier_one_stays(screen: Screen) -> None:
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    at.text_input(key="who_box").set_value("OW-1\u200b").run()
    (refused,) = [unescaped(element.value) for element in at.error]
    assert refused.startswith("Your name: character 5 of the name is U+200B ZERO WIDTH SPACE")
    assert "OW-1" in said(at).splitlines()
    assert "\u200b" not in said(at)


def test_an_assessment_in_which_nothing_changed_is_submitted_and_signed_again(team: Team, screen: Screen) -> None:
    team.signed()
    at = as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR)
    assert "The sign-off is valid." in said(at)
    rounds.begin_assessment(team.live, LEADS, "S30")
    team.confirm_all()
    at = as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR)
    fine(press(at, "Submit for review"))
    assert team.latest().number == 1
    assert "## S30 is under review" in said(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR))


def test_a_facilitator_is_offered_no_record_while_a_blind_round_hides_answers_of_it(team: Team, screen: Screen) -> None:
    team.signed()
    team.hide_all()
    at = fine(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR))
    (told,) = (unescaped(info.value) for info in at.info if "blind round" in info.value)
    assert told.startswith("No record and no report: a blind round hides ")
    assert told.endswith("by the security reviewer or independent assessor or owner, who do not answer.")
    assert "Revision to export" not in [box.label for box in at.selectbox]
    assert "Revision to export" in [box.label for box in as_(at, "OW-1", OWNER).selectbox]
