"""Redundancy left: sentences on the gain of redundancy, and reasons for groups without beta."""

from __future__ import annotations

import pytest

from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from checks.text.number_format import factor, measure, significant
from pages.results.redundancy_left import PARTS
from tests.checks.given import plain
from tests.checks.journal.stored import plant_data
from tests.pages.shown import Holding, Screen, chart, fine, rows, said, tables, where, written_in


@pytest.mark.usefixtures("store")
def test_a_function_with_a_single_valve_names_it(screen: Screen) -> None:
    shown = said(fine(screen("redundancy", function="SIF-401")))
    assert "Redundancy gains SIF-401 hardly anything: RRF 32, at best 32." in shown
    assert (
        "xv-401 contributes 99.7 % of the PFD with common cause: a single channel behind redundant pt-401, ls-sis."
        in shown
    )
    assert "More redundancy there gains nothing." in shown


@pytest.mark.parametrize("key", ["SIF-301", "SIF-302", "SIF-303", "SIF-501"])
def test_a_function_says_what_its_redundancy_gains_and_what_is_left(store: Store, screen: Screen, key: str) -> None:
    function = Live(store, 1).state().assessment.function(key)
    cases = function.cases
    scored, adjusted, ideal = (measure("low", value) for value in (cases.scored, cases.adjusted, cases.ideal))
    assert (
        f"Redundancy gains {key} a factor {factor(cases.single / cases.scored)} of a possible "
        f"{significant(cases.benefit_ideal)} with common cause, {factor(cases.single / cases.adjusted)} with the cyber scenario: "
        f"RRF {scored} and {adjusted} instead of {ideal}."
    ) in said(fine(screen("redundancy", function=key)))


def test_a_function_says_both_verdicts_with_common_cause_first(store: Store, screen: Screen) -> None:
    for function in Live(store, 1).state().assessment.functions():
        shown = said(fine(screen("redundancy", function=function.id)))
        for words, case in (
            ("With common cause it ", "scored"),
            ("With the cyber scenario (house rule) it ", "adjusted"),
        ):
            assert (f"{words}meets the target by a factor" in shown) == function.meets(case)
            assert (f"{words}falls short of the target by a factor" in shown) != function.meets(case)
        assert shown.index("With common cause it") < shown.index("With the cyber scenario (house rule) it")


@pytest.mark.usefixtures("store")
def test_one_compromise_names_the_zones_and_the_relay_function_none(screen: Screen) -> None:
    at = fine(screen("redundancy", function="SIF-303", part="compromise"))
    assert "lie in 2 zones" in said(at)
    zones = {row["Zone"].split()[0]: row for row in rows(at, "Zones whose compromise defeats it")}
    assert set(zones) == {"Z5", "Z6"}
    assert zones["Z6"]["Conduits in"] == "C6 from Z4"
    assert "No programmable group of SIF-210 lies in a zone" in said(
        fine(screen("redundancy", function="SIF-210", part="compromise"))
    )


@pytest.mark.usefixtures("store")
def test_a_single_programmable_channel_is_not_changed_by_the_scenario(screen: Screen) -> None:
    shown = said(fine(screen("redundancy", function="SIF-701", part="compromise")))
    assert (
        "ltr-701: programmable, but without a beta (no redundancy, or a stated result), so the cyber scenario does not change "
        "this result." in shown
    )


@pytest.mark.usefixtures("store")
def test_the_three_exposure_rules_are_side_by_side(store: Store, screen: Screen) -> None:
    """Under to-single and graded SIF-303 has RRF 240 and 1,200 (derived values of the two house rules)."""
    at = fine(screen("redundancy", function="SIF-303", part="compromise"))
    texts = written_in(chart(at))
    for text, figure in zip(texts, ("1,700", "240", "1,200"), strict=False):
        assert text.endswith(figure), texts
    assert texts[3].startswith("withdrawn credits (house rule)")
    assert plant_data(store, 1).conventions.exposure_rule == "to-single"


def test_break_even_is_shown_for_low_demand_and_never_as_an_estimate(store: Store, screen: Screen) -> None:
    for function in Live(store, 1).state().assessment.functions():
        shown = said(fine(screen("redundancy", function=function.id, part="compromise")))
        assert ("No such probability is assumed or computed." in shown) == (function.demand == "low")
        assert ("The target is already missed with the cyber scenario" in shown) == (
            function.demand == "low" and function.break_even is None
        )


@pytest.mark.usefixtures("store")
def test_the_screen_begins_with_the_worst_function(screen: Screen) -> None:
    assert fine(screen("redundancy")).selectbox(key="choose_function").value == "SIF-401"


@pytest.mark.usefixtures("store")
def test_pfd_and_pfh_are_never_mixed(screen: Screen) -> None:
    high, low = (fine(screen("redundancy", function=key)) for key in ("SIF-210", "SIF-301"))
    for at, own, other in ((high, "PFH [1/h]", "PFDavg"), (low, "PFDavg", "PFH [1/h]")):
        heads = " ".join(str(name) for table in tables(at, "") for name in table.columns)
        assert own in heads
        assert other not in heads
    assert "RRF" not in " ".join(str(name) for table in tables(high, "") for name in table.columns)


@pytest.mark.usefixtures("store")
def test_another_group_can_be_varied(screen: Screen) -> None:
    at = fine(screen("redundancy", function="SIF-301", part="beta"))
    fine(at.selectbox(key="choose_group").set_value("ls-sis").run())
    assert where(at, "group") == "ls-sis"
    assert tables(at, "RRF of SIF-301 against the beta of ls-sis")


def with_votings() -> Plant:
    """The valid plant with a two-out-of-two group, a single channel and a specified beta."""
    raw = plain()
    raw["answers"] = []
    assert raw["groups"]["pos-210"]["voting"] == "2oo2"
    assert raw["groups"]["tt-401"]["voting"] == "1oo1"
    assert raw["groups"]["con-210"]["stated_beta"]["source"] == "2016 report"
    return Plant.model_validate(raw)


@pytest.mark.parametrize(
    ("group", "why"),
    [
        ("pos-210", "2oo2 needs every channel: no fault tolerance, so there is no beta."),
        ("tt-401", "One channel: no fault tolerance, so there is no beta and no common-cause question."),
        ("con-210", "This group uses a specified beta of 5 % (2016 report) instead of the questionnaire."),
    ],
)
def test_a_group_that_is_not_asked_says_why(holding: Holding, screen: Screen, group: str, why: str) -> None:
    holding(with_votings())
    at = fine(screen("common-cause", group=group))
    assert why in said(at)
    assert not at.button_group


def test_a_function_without_a_redundant_group_has_no_curve_and_says_why(holding: Holding, screen: Screen) -> None:
    raw = plain()
    raw["answers"] = []
    raw["functions"]["SIF-401"]["groups"] = ["tt-401"]
    holding(Plant.model_validate(raw))
    at = fine(screen("redundancy", function="SIF-401", part="beta"))
    assert "No group of this function is redundant, so beta has no effect." in said(at)
    assert not tables(at, "against the beta of")
    assert "Voting gains SIF-401 nothing" in said(at)


def test_a_two_out_of_two_group_in_a_function_has_no_curve_of_its_own(holding: Holding, screen: Screen) -> None:
    holding(with_votings())
    at = fine(screen("redundancy", function="SIF-210", part="beta"))
    assert at.selectbox(key="choose_group").options == ["con-210 (1oo3)"]


@pytest.mark.usefixtures("store")
def test_one_part_is_shown_and_the_address_keeps_it(screen: Screen) -> None:
    at = fine(screen("redundancy", function="SIF-301"))
    assert where(at, "part") == "cases"
    assert tables(at, "The four cases")
    fine(at.button_group(key="choose_part").set_value("trips").run())
    assert where(at, "part") == "trips"
    assert tables(at, "Spurious trips by group")
    assert not tables(at, "The four cases")
    assert not fine(screen("redundancy", function="SIF-301", part="none")).get("plotly_chart")


@pytest.mark.usefixtures("store")
def test_an_address_with_a_group_to_vary_and_no_part_shows_the_curve(screen: Screen) -> None:
    assert where(fine(screen("redundancy", function="SIF-301", group="ls-sis")), "part") == "beta"


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize("part", PARTS)
def test_no_table_says_a_figure_in_high_demand_twice(screen: Screen, part: str) -> None:
    """The PFH has no reciprocal in use, so it stands once, where the RRF and the PFDavg stand side by side."""
    for table in tables(fine(screen("redundancy", function="SIF-210", part=part)), ""):
        columns = [list(table[name]) for name in table.columns if str(name).startswith("PFH")]
        assert not any(one == other for at, one in enumerate(columns) for other in columns[:at])
