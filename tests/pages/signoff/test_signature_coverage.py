"""Before signing, signers see which open actions and accepted residual risks their signature will cover."""

from __future__ import annotations

from datetime import timedelta

from checks.access.roles import ASSESSOR, REVIEWER
from checks.actions import recorded_actions
from checks.signoff import accepted_gaps
from tests.checks.team import ANSWERS, DAY, OWNS, Team, ahead
from tests.pages.at_the_screen import as_, sign
from tests.pages.shown import Screen, fine, rows, said, tables

ACTIONS = "Every open action that the {half} half covers"
GAPS = "Every accepted residual risk that the security half covers"
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


def test_the_signer_of_the_safety_half_sees_the_open_actions_and_signs_them(team: Team, screen: Screen) -> None:
    prepared(team)
    at = as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR)
    assert "Your signature will cover this revision, your statement below and 1 open action" in said(at)
    (row,) = rows(at, ACTIONS.format(half="safety"))
    assert row == {"Id": "A-001", "Action": TRICK, "Action owner": "TM-2", "Due": ahead(60), "Status": "open"}
    assert not tables(at, GAPS)
    after = fine(sign(at, team, "safety"))
    assert team.latest().signatures["safety"].open_actions == ("A-001",)
    assert "covers, in addition to the revision: open actions: A-001" in said(after)


def test_the_signer_of_the_security_half_sees_the_accepted_gaps_too(team: Team, screen: Screen) -> None:
    prepared(team)
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    assert "your statement below, 1 open action and 1 accepted residual risk" in said(at)
    (row,) = rows(at, GAPS)
    assert row == {"Zone": "sis", "Gap": "Z01", "Until": ahead(90), "Justification": "locked and alarmed"}
    after = fine(sign(at, team, "security"))
    assert "covers, in addition to the revision: open actions: A-001; 1 accepted residual risk" in said(after)


def test_where_nothing_is_open_the_screen_says_so(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    assert "your statement below, 0 open actions and 0 accepted residual risks" in said(at)
    assert not tables(at, "half covers")
