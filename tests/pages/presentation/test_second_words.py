"""The second method beside a result on every screen that shows it: computed later, and never part of what is signed."""

from __future__ import annotations

import pytest

from checks.analysis import beside_result, uncertainty
from checks.analysis.beside_result import Beside, Figures, turns
from checks.assessment.results import FunctionResult
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.number_format import factor, measure
from pages.cached import later
from pages.presentation import second_words
from scoring.timeline.method import ABOUT
from tests.checks.given import plain_2
from tests.pages.at_the_screen import completed
from tests.pages.shown import Holding, Screen, fine, rows, said, unescaped

HEAD = second_words.HEAD


def _expected(state: State, key: str) -> str:
    return second_words.cell(state.assessment.function(key), {key: beside_result.of_function(state.assessment, key)})


def test_the_plant_is_drawn_at_once_and_then_with_value_and_ratio_beside_each_result(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(later, "_later", later.Later(100))
    state = Live(store, 1).state()
    at = fine(screen("plant"))
    assert second_words.WAITING in {row[HEAD] for row in rows(at, "Functions with target")}
    shown = {row["Function"]: row[HEAD] for row in rows(completed(at), "Functions with target")}
    assert shown == {key: _expected(state, key) for key in state.plant.functions}
    assert "(PFDavg × 0.87)" in shown["SIF-301"]
    assert f"{HEAD}, {ABOUT.label}: 3 of 8 results agree within 2 %. It differs most at SIF-302" in said(at)


def test_redundancy_left_says_why_they_differ_on_every_part(store: Store, screen: Screen) -> None:
    beside = beside_result.of_function(Live(store, 1).state().assessment, "SIF-301")
    for part in ("cases", "trips"):
        shown = unescaped(said(completed(screen("redundancy", function="SIF-301", part=part))))
        assert f"{HEAD}, {beside.method.label}: RRF 680 with common cause (PFDavg × 0.87)" in shown
        assert beside.why in shown


def test_a_variant_has_its_own_second_opinion(store: Store, screen: Screen) -> None:
    state = Live(store, 1).state()
    at = completed(screen("what-if", function="SIF-701"))
    at.button(key="new_variant").click().run()
    (widget,) = [each for each in at.text_input if each.key and "esv-701 proof_test.interval_h" in each.key]
    at = completed(widget.set_value("2190").run())
    built, variant = (row[HEAD] for row in rows(at, "Variants side by side"))
    assert built == _expected(state, "SIF-701")
    assert variant not in (built, second_words.WAITING)


def test_what_changed_shows_it_for_both_revisions(store: Store, screen: Screen) -> None:
    state = Live(store, 1).state()
    at = completed(screen("changed", system="S30", **{"from": "2", "to": "now"}))
    shown = {row["Function"]: row for row in rows(at, "Functions before and after")}
    assert shown["SIF-301"][f"{HEAD} after"] == _expected(state, "SIF-301")
    assert shown["SIF-301"][f"{HEAD} before"] not in (_expected(state, "SIF-301"), second_words.WAITING)


def test_at_the_sign_off_it_stands_beside_and_is_not_part_of_what_is_signed(store: Store, screen: Screen) -> None:
    state = Live(store, 1).state()
    at = completed(screen("sign-off", system="S30"))
    shown = {row["Function"]: row for row in rows(at, "Results of S30")}
    assert list(shown) == list(state.systems["S30"].functions)
    for key, row in shown.items():
        assert row[f"Beside: {HEAD.lower()}"] == _expected(state, key)
        assert " to " in row["Beside: 5 % to 95 %"]
    assert "they are not part of what is signed" in said(at)
    stored = str({"facts": basis.facts(state.assessment, "S30"), "results": basis.results(state.assessment, "S30")})
    assert ABOUT.id not in stored


def test_stated_results_have_no_second_opinion_and_say_so_in_two_words(holding: Holding, screen: Screen) -> None:
    raw = plain_2()
    raw["functions"]["SIF-4"] = {"demand": "low", "target_sil": 1, "groups": ["ls"]}
    holding(Plant.model_validate(raw))
    shown = {row["Function"]: row[HEAD] for row in rows(completed(screen("plant")), "Functions with target")}
    assert shown["SIF-4"] == "results stated"
    assert f"{ABOUT.label}: none, results stated." in said(completed(screen("redundancy", function="SIF-4")))


def test_a_verdict_that_turns_by_the_second_method_is_said(store: Store) -> None:
    function: FunctionResult = Live(store, 1).state().assessment.function("SIF-301")
    assert function.meets("scored")
    worse = 2.0 * function.limit
    beside = Beside(ABOUT, (worse, worse), worse / function.cases.scored, "They differ.")
    assert turns(function, beside) == "falls short of"
    assert "falls short of the target" in second_words.sentence(function, beside)
    text = second_words.summary([function], {function.id: beside})
    assert text.startswith(f"{HEAD}, {ABOUT.label}: it differs at SIF-301, PFDavg × ")
    assert "The verdict on the target with common cause is another one at SIF-301 (falls short of it)." in text


def test_the_line_beside_an_answer_names_method_band_and_ratio_and_waits_in_the_same_words(store: Store) -> None:
    assessment = Live(store, 1).state().assessment
    function, method = assessment.function("SIF-301"), assessment.method_of("SIF-301")
    band = uncertainty.of_function(assessment, "SIF-301")
    assert band is not None
    lead = f"SIF-301 with common cause by {method.label}; 5 % to 95 %: "
    ends = [measure("low", end) for end in (band.band.p95, band.band.p5)]
    figures = beside_result.figures(assessment, ["SIF-301"])
    ratio = figures.besides["SIF-301"].ratio
    assert ratio is not None
    expected = f"{lead}{ends[0]} to {ends[1]}; {ABOUT.label}: PFDavg × {factor(ratio)}."
    assert second_words.in_one_line(function, method, figures) == expected
    none = Figures({}, {}, {})
    assert second_words.in_one_line(function, method, none) == f"{lead}…; second method: …."
    stated = Figures(figures.functions, {}, {"SIF-301": Beside(ABOUT, None, None, "")})
    assert second_words.in_one_line(function, method, stated) == f"{lead}–; {ABOUT.label}: results stated."


def test_a_cell_of_the_cyber_scenario_has_its_own_value_and_ratio(store: Store) -> None:
    assessment = Live(store, 1).state().assessment
    function, beside = assessment.function("SIF-301"), beside_result.of_function(assessment, "SIF-301")
    assert beside.result is not None
    over = factor(beside.result[1] / function.cases.adjusted)
    expected = f"{measure('low', beside.result[1])} (× {over})"
    assert second_words.cell(function, {"SIF-301": beside}, "adjusted", named=False) == expected
