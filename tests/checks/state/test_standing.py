"""The standing of a system: one answer in the same words everywhere. The interval of 36 months is a house rule."""

from __future__ import annotations

from datetime import timedelta

from checks.reassessment import due_list
from checks.record_files import record_file, verification
from checks.signoff.revisions import system_standing
from checks.state.revision_status import ANSWERING, REVIEWED, SIGNED, VOID
from tests.checks.team import DAY, Team, ahead


def words(team: Team, days: int = 0) -> str:
    return system_standing(team.on(DAY + timedelta(days=days)).now(), "S30").words


def test_a_system_goes_from_in_progress_over_review_to_signed_and_overdue(team: Team) -> None:
    assert words(team) == ANSWERING
    team.put_up()
    assert words(team) == REVIEWED
    team.sign("safety")
    team.sign("security")
    assert words(team) == SIGNED
    assert words(team, 3 * 366) == "overdue"


def test_a_conditional_sign_off_says_until_when_and_is_void_afterwards(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(20))
    team.sign("security")
    assert words(team, 20) == f"conditional until {ahead(20)}"
    assert words(team, 21) == VOID


def test_a_void_system_is_not_in_time_on_the_due_list(team: Team) -> None:
    team.signed()
    team.say("PRO1", "plant", "not-met")
    (due,) = (system for system in due_list.standings(team.now()) if system.system == "S30")
    assert (due.words, due.near) == (VOID, None)
    assert due.due is not None
    assert next(iter(due_list.standings(team.now()))).system == "S30"


def test_verify_says_the_same_words(team: Team) -> None:
    team.signed()
    lines = list(verification.verify(record_file.from_text("record", team.export())))
    assert any(line.endswith(": signed; both halves") and line.startswith("standing on ") for line in lines)
    team.say("PRO1", "plant", "not-met")
    lines = list(verification.verify(record_file.from_text("record", team.export())))
    assert any(line.startswith("void: PRO1 of plant was answered not-met") for line in lines)
