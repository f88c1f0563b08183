"""Roles and the name at the head of every screen."""

from __future__ import annotations

import pytest

from checks.access import roles
from checks.access.roles import FACILITATOR, MEMBER, OWNER, VIEWER
from tests.checks.team import Team
from tests.pages.at_the_screen import as_
from tests.pages.shown import Screen, fine, said, tables, unescaped


@pytest.mark.parametrize(
    "url_path", ["common-cause", "cyber", "zones", "reach", "fix", "due", "again", "changed", "sign-off"]
)
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


def test_a_name_that_misleads_is_refused_in_the_name_box_and_the_earlier_one_stays(screen: Screen) -> None:
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    at.text_input(key="who_box").set_value("OW-1\u200b").run()
    (refused,) = [unescaped(element.value) for element in at.error]
    assert refused.startswith("Your name: character 5 of the name is U+200B ZERO WIDTH SPACE")
    assert "OW-1" in said(at).splitlines()
    assert "\u200b" not in said(at)
