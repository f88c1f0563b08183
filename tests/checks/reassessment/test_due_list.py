"""The due list. Acceptances are listed from 60 days before their end (house rule)."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.reassessment import due_list
from checks.signoff import accepted_gaps
from tests.checks.team import DAY, OWNS, Team, ahead

ENDS = {("S30", "sis", "Z01"): 60, ("S30", "sis", "A05"): 61, ("S40", "sis", "Z01"): 20, ("S50", "package", "W02"): 0}
"""Days from today until each acceptance ends."""


@pytest.fixture
def accepted(team: Team) -> Team:
    """A team whose asset owner accepted gaps of three systems."""
    for zone, question in {(zone, question) for _, zone, question in ENDS}:
        team.say(question, f"zone:{zone}", "not-met")
    for gap, days in ENDS.items():
        accepted_gaps.accept_gaps(team.live, OWNS, [gap], reason="locked and alarmed", until=ahead(days))
    return team


def ending(team: Team, **options: int) -> list[tuple[str, str, str, str]]:
    """System, zone, question and end of each acceptance on the list."""
    endings = due_list.acceptances_ending(team.now(), **options)
    return [(system, gap.zone, gap.question, gap.until) for system, gap in endings]


def on_list(*gaps: tuple[str, str, str]) -> list[tuple[str, str, str, str]]:
    return [(*gap, ahead(ENDS[gap])) for gap in gaps]


def test_acceptances_that_end_within_sixty_days_are_listed_with_their_system_by_end_date(
    accepted: Team,
) -> None:
    soon = on_list(("S50", "package", "W02"), ("S40", "sis", "Z01"), ("S30", "sis", "Z01"))
    assert ending(accepted) == soon
    assert ending(accepted.on(DAY + timedelta(days=1))) == [*soon, *on_list(("S30", "sis", "A05"))]
    assert ending(accepted, days=19) == soon[:1]


def test_an_acceptance_that_has_ended_stays_on_the_list(accepted: Team) -> None:
    assert len(ending(accepted.on(DAY + timedelta(days=400)))) == len(ENDS)


def test_a_gap_that_was_closed_needs_no_acceptance(accepted: Team) -> None:
    accepted.say("Z01", "zone:sis", "met")
    assert ending(accepted) == on_list(("S50", "package", "W02"))


def test_a_gap_that_is_accepted_for_longer_leaves_the_list(accepted: Team) -> None:
    accepted_gaps.accept_gaps(accepted.live, OWNS, [("S50", "package", "W02")], reason="still locked", until=ahead(90))
    assert ending(accepted) == on_list(("S40", "sis", "Z01"), ("S30", "sis", "Z01"))
