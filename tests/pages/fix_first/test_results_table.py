"""What to fix first: the band and the second method of each function now and after the set, drawn once they are computed."""

from __future__ import annotations

import json

import pytest

from checks.analysis import beside_result, uncertainty
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.state.live import Live
from checks.text.number_format import factor, measure, percent
from pages.cached import later
from pages.fix_first import results_table
from scoring.timeline.method import ABOUT
from scoring.uncertainty.method import SEED
from tests.pages.at_the_screen import completed
from tests.pages.shown import Screen, fine, rows, said

NOW, THEN = (
    ("5 % to 95 % now", "Missed now", "Second method now"),
    ("5 % to 95 % then", "Missed then", "Second method then"),
)


def _expected(assessment: Assessment, key: str) -> tuple[str, str, str]:
    band, beside = uncertainty.of_function(assessment, key, seed=SEED), beside_result.of_function(assessment, key)
    assert band is not None
    assert beside.result is not None
    assert beside.ratio is not None
    demand = assessment.function(key).demand
    worst, best = (measure(demand, end) for end in (band.band.p95, band.band.p5))
    return (
        f"{worst} to {best}",
        percent(band.misses),
        f"{measure(demand, beside.result[0])} (× {factor(beside.ratio)})",
    )


def test_it_is_drawn_at_once_and_then_with_the_bands_before_and_after_the_set(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(later, "_later", later.Later(100))
    at = fine(screen("fix", fix="function:SIF-501"))
    (row,) = rows(at, "Functions now")
    assert {row[name] for name in (*NOW, *THEN)} == {"…"}
    assert (row["Now"], row["After the set"]) == ("260", "380")
    at = completed(at)
    (row,) = rows(at, "Functions now")
    now = Live(store, 1).state().assessment
    then = now.with_answers([Answer(question="TST1", of="group:esv-501", value="met")])
    assert tuple(row[name] for name in NOW) == _expected(now, "SIF-501")
    assert tuple(row[name] for name in THEN) == _expected(then, "SIF-501")
    shown = said(at)
    assert "After the set: SIF-501 meets the target by a factor 1.3; 3 in 10 that it does not" in shown
    assert f"8,192 points, seed {SEED}, by {now.method_of('SIF-501').label}." in shown
    assert f"Second method: {ABOUT.label}." in shown


def test_of_the_plant_every_function_has_them_but_none_after_a_set_that_it_is_not_in(
    store: Store, screen: Screen
) -> None:
    at = completed(screen("fix", fix="plant"))
    assessment = Live(store, 1).state().assessment
    shown = {row["Function"]: row for row in rows(at, "Functions now")}
    assert list(shown) == list(assessment.plant.functions)
    for key, row in shown.items():
        assert tuple(row[name] for name in NOW) == _expected(assessment, key)
    assert {shown["SIF-401"][name] for name in THEN} == {"–"}
    assert "Most in doubt after the set: SIF-" in said(at)


@pytest.mark.usefixtures("store")
def test_without_a_set_there_is_no_column_after_it(screen: Screen) -> None:
    at = completed(screen("fix", fix="function:SIF-301"))
    (row,) = rows(at, "Functions now")
    assert set(NOW) <= set(row)
    assert not set(THEN) & set(row)
    assert "Now: SIF-301 meets the target by a factor 1.2; 3 in 10 that it does not" in said(at)


def test_the_cyber_scenario_has_the_second_method_and_says_that_it_has_no_band(store: Store, screen: Screen) -> None:
    at = completed(screen("fix", fix="function:SIF-301", case="adjusted"))
    (row,) = rows(at, "Functions now")
    assert not [name for name in row if name.startswith(("5 %", "Missed"))]
    assessment = Live(store, 1).state().assessment
    function, beside = assessment.function("SIF-301"), beside_result.of_function(assessment, "SIF-301")
    assert beside.result is not None
    over = factor(beside.result[1] / function.cases.adjusted)
    assert row["Second method now"] == f"{measure('low', beside.result[1])} (× {over})"
    assert "The cyber scenario has no band, since no distribution of its inputs is known" in said(at)


@pytest.mark.usefixtures("store")
def test_of_many_functions_none_has_a_band_and_why_is_said(screen: Screen, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(results_table, "MOST_BESIDE", 3)
    at = fine(screen("fix", fix="plant"))
    assert not set(NOW) & set(rows(at, "Functions now")[0])
    assert "Band and second method: choose a system of up to 3 functions, or a function." in said(at)


@pytest.mark.usefixtures("store")
def test_no_figure_in_the_grid_of_other_answers_is_cut(screen: Screen) -> None:
    """A character of a grid is about 6 pixels wide (seen in the browser)."""
    (grid,) = fine(screen("fix", fix="plant")).dataframe
    widths = {name: config["width"] for name, config in json.loads(grid.proto.columns).items() if "width" in config}
    longest = max(len(text) for text in grid.value["Alone"])
    assert longest > 30
    assert widths["Alone"] >= 6 * longest + 16
    assert widths["With others"] >= widths["Alone"]
