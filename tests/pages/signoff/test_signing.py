"""Signing at the screen: the statement is shown in full before the click, and what it lacks is refused."""

from __future__ import annotations

from datetime import timedelta

from checks.access.roles import ASSESSOR, REVIEWER
from checks.actions import recorded_actions
from checks.signoff import accepted_gaps
from tests.checks.team import ANSWERS, DAY, OWNS, PHRASE, Team, ahead
from tests.pages.at_the_screen import as_, key_file, press, sign
from tests.pages.shown import Screen, fine, said, unescaped

TRICK = "![x](https://example.invalid/a.png) <b>taps</b>"


def prepared(team: Team) -> None:
    """One open action, one of another system, one accepted residual risk; the revision is under review."""
    more = {"owner": "TM-2", "due": DAY + timedelta(days=60)}
    questions = [{"question": "SEP1", "of": "group:pt-301"}]
    recorded_actions.raise_one(team.live, ANSWERS, {"what": TRICK, "questions": questions, **more})
    recorded_actions.raise_one(team.live, ANSWERS, {"what": "Of the drum", "system": "S50", **more})
    team.say("Z01", "zone:sis", "not-met")
    accepted_gaps.accept_gaps(team.live, OWNS, [("S30", "sis", "Z01")], reason="locked and alarmed", until=ahead(90))
    team.put_up()


def test_the_statement_shown_names_the_open_actions_and_is_what_is_signed(team: Team, screen: Screen) -> None:
    prepared(team)
    at = as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR)
    assert f"Open actions: A-001 {TRICK} (TM-2, due {ahead(60)})." in said(at)
    assert "that the asset owner accepted" not in said(at)
    after = fine(sign(at, team, "safety"))
    signed = team.latest().signatures["safety"]
    assert signed.open_actions == ("A-001",)
    assert f"Open actions: A-001 {TRICK} (TM-2, due {ahead(60)})." in signed.text
    assert "covers, in addition to the revision: open actions: A-001" in said(after)


def test_the_statement_of_the_security_half_names_the_accepted_gaps_too(team: Team, screen: Screen) -> None:
    prepared(team)
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    accepted = f"1 residual risk that the asset owner accepted: until {ahead(90)} sis: Z01 (locked and alarmed)."
    assert accepted in said(at)
    after = fine(sign(at, team, "security"))
    assert "covers, in addition to the revision: open actions: A-001; 1 accepted residual risk" in said(after)


def test_what_is_not_stated_yet_shows_in_the_statement_and_is_refused(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR)
    text = said(at)
    assert "Independence: not stated yet. Competence: not stated yet." in text
    assert "they count as not met: not stated yet." in text
    assert "No action is open." in text
    at.file_uploader(key="sign_safety_file").upload("key.pem", key_file(team, "safety"), "application/x-pem-file")
    at.text_input(key="sign_safety_phrase").set_value(PHRASE)
    press(at, "Sign the safety half")
    (refused,) = [unescaped(element.value) for element in at.error]
    for reason in ("independence is missing", "competence is missing", "without a verdict", "were never answered"):
        assert reason in refused
    assert team.latest().signatures == {}


def test_a_word_about_independence_is_refused_and_nothing_typed_is_lost(team: Team, screen: Screen) -> None:
    team.put_up()
    at = sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety", "another phrase")
    assert at.text_area(key="sign_safety_independence").value == "no part in the answers"
    at.text_area(key="sign_safety_independence").set_value("x").run()
    at.text_input(key="sign_safety_phrase").set_value(PHRASE)
    press(at, "Sign the safety half")
    assert any("says too little: write at least 3 words" in unescaped(error.value) for error in at.error)
    assert at.text_area(key="sign_safety_competence").value == "twelve years in the trade"
