"""What changed: which answer moved which function, nothing changed, nothing to compare."""

from __future__ import annotations

from checks.analysis import uncertainty
from pages.presentation.uncertainty_words import band_figures
from scoring import common_cause
from tests.checks.team import Team
from tests.pages.shown import Screen, fine, rows, said

SEEN = ("SEP1", "group:pt-301")


def test_what_changed_names_the_answer_that_moved_each_function(team: Team, screen: Screen) -> None:
    """Every row of Table D.1 is met; without half of them the sensors fall into a worse class of Table D.4."""
    rows_of = list(common_cause.rows("sensor"))
    for row in rows_of:
        team.say(row, "group:pt-301")
    team.put_up()
    before = team.now().assessment.function("SIF-301").cases.adjusted
    given_up = rows_of[::2]
    for row in given_up:
        team.say(row, "group:pt-301", "not-met")
    team.say(rows_of[1], "group:pt-301", evidence="seen again")
    assert before < team.now().assessment.function("SIF-301").cases.adjusted
    at = fine(screen("changed", system="S30"))
    assert f"{len(given_up)} answers differ in value, 1 in evidence or note only;" in said(at)
    *differ, last = rows(at, "Answers that differ")
    assert (last["Question"], last["Differs in"]) == (rows_of[1], "evidence changed")
    assert {(row["Question"], row["Before"], row["After"]) for row in differ} == {
        (row, "Met", "Not met") for row in given_up
    }
    (moved,) = [one for one in rows(at, "Functions before and after") if one["Function"] == "SIF-301"]
    now = uncertainty.of_function(team.now().assessment, "SIF-301")
    assert now is not None
    assert moved["5 % to 95 % after"] == band_figures(team.now().assessment.function("SIF-301"), now)
    assert moved["5 % to 95 % before"] not in ("–", moved["5 % to 95 % after"])
    assert "calculated by this program, not part of what was signed. Uncertainty by scrambled Sobol points" in said(at)
    named = moved["Largest change by"]
    assert any(named.startswith(f"{row} of group:pt-301: Met → Not met") for row in given_up)


def test_nothing_changed_is_said_plainly(team: Team, screen: Screen) -> None:
    team.put_up()
    assert "## Nothing changed" in said(fine(screen("changed", system="S30")))


def test_a_system_without_revision_leads_to_its_sign_off(team: Team, screen: Screen) -> None:
    assert team.now().records.revisions == {}
    assert "## S40 has no revision yet" in said(fine(screen("changed", system="S40")))
