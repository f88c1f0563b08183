"""The Sign-off screen: submitting, reviewing, sending back, comments, accepted gaps, attendance."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER
from checks.reassessment import rounds
from checks.recording import answer_records
from tests.checks.team import ANSWERS, EVIDENCE, LEADS, Team, ahead
from tests.pages.at_the_screen import as_, press, sign, unfold
from tests.pages.shown import Screen, fine, rows, said, unescaped

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


def test_a_signer_whose_name_reads_like_that_of_the_team_is_asked_and_may_sign(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "FA 1", ASSESSOR)
    (asked,) = [unescaped(element.value) for element in at.warning]
    assert asked.startswith("FA-1 took part in this assessment. Is that you?")
    assert not as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR).warning


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
