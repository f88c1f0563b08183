"""Variants of a function: by hand on the demo, and against the same change made in the plant's data."""

from __future__ import annotations

import pytest

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.variants.variant import Variant, beside, outcome
from checks.visibility.redaction import RedactedAssessment
from demo.load import PLANT

H = 1e-9
"""1 FIT in failures per hour."""
BUILT = Assessment(plant_file.read(PLANT))


def variant(*cells: tuple[str, str, str]) -> Variant:
    made = Variant("A")
    for group, key, text in cells:
        made = made.put(BUILT.plant, group, key, text)
    return made


def test_a_third_transmitter_before_a_single_valve_buys_nothing_and_says_that_the_weak_link_is_untouched() -> None:
    """By hand: solenoid and valve, 300 + 3300 FIT, tested every 17520 h, give 1/31.7 whatever the transmitters do."""
    third = outcome(BUILT, "SIF-401", variant(("pt-401", "voting", "2oo3")))
    assert third.function is not None
    assert 1.0 / third.function.cases.scored == pytest.approx(1.0 / (3600 * H * 17520 / 2), rel=0.02)
    assert third.gain == pytest.approx(1.0, abs=0.01)
    assert third.weak_link_untouched
    assert third.variant.changes(BUILT.plant) == (
        ("pt-401", "Voting", "1oo2", "2oo3"),
        ("pt-401", "Channels", "PT; PT", "PT; PT; PT"),
    )


def test_testing_the_valve_twice_as_often_halves_the_result() -> None:
    """By hand: the valve carries nearly all, and its mean is proportional to the interval."""
    yearly = outcome(BUILT, "SIF-401", variant(("xv-401", "proof_test.interval_h", "1 y")))
    assert yearly.gain == pytest.approx(2.0, rel=0.02)
    assert not yearly.weak_link_untouched


@pytest.mark.parametrize(
    ("text", "instead", "cells"),
    [
        ("interval_h: 17520, coverage: 1.0}", "interval_h: 4380, coverage: 1.0}", [("proof_test.interval_h", "6 months")]),
        ("voting: 1oo1\n    channels: [[SOV, XVG]]", "voting: 1oo2\n    channels: [[SOV, XVG], [SOV, XVG]]", [("voting", "1oo2")]),
    ],
)  # fmt: skip
def test_a_variant_gives_the_figures_of_the_same_change_in_the_plant_file(
    text: str, instead: str, cells: list[tuple[str, str]]
) -> None:
    source = PLANT.read_text(encoding="utf-8")
    start = source.index("  xv-401:")
    changed = source[:start] + source[start:].replace(text, instead, 1)
    assert changed != source
    expected = Assessment(plant_file.from_text("changed", changed)).function("SIF-401")
    found = outcome(BUILT, "SIF-401", variant(*(("xv-401", key, entry) for key, entry in cells))).function
    assert found is not None
    assert found.cases == expected.cases


def test_a_specified_beta_takes_the_place_of_the_answers_and_an_empty_cell_brings_them_back() -> None:
    specified = variant(("pt-301", "stated_beta.beta", "2 %"))
    result = outcome(BUILT, "SIF-301", specified).function
    assert result is not None
    (transmitters,) = (group for group in result.groups if group.id == "pt-301")
    assert transmitters.betas is not None
    assert (transmitters.betas.beta_int, transmitters.betas.beta_d_int) == (0.02, 0.02)
    assert specified.put(BUILT.plant, "pt-301", "stated_beta.beta", "").cells == {}


def test_a_cell_put_back_as_built_is_no_change() -> None:
    changed = variant(("pt-401", "voting", "2oo3"), ("pt-401", "zone", "Z6"))
    back = changed.put(BUILT.plant, "pt-401", "voting", "1oo2").put(BUILT.plant, "pt-401", "zone", "Z5")
    assert back.cells == {}
    assert outcome(BUILT, "SIF-401", back).gain == 1.0


def test_faults_name_their_cell_and_nothing_is_calculated() -> None:
    wrong = outcome(BUILT, "SIF-401", variant(("pt-401", "zone", "Z99"), ("xv-401", "proof_test.interval_h", "often")))
    assert (wrong.function, wrong.gain) == (None, None)
    assert {(fault.row, fault.key) for fault in wrong.draft.at_cells} == {(1, "zone"), (2, "proof_test.interval_h")}
    assert wrong.draft.elsewhere == ()


def test_an_unreadable_voting_keeps_the_channels_and_is_a_fault() -> None:
    wrong = variant(("pt-401", "voting", "both"))
    assert wrong.text(BUILT.plant, "pt-401", "channels") == "PT; PT"
    assert [fault.key for fault in outcome(BUILT, "SIF-401", wrong).draft.at_cells] == ["voting"]


def test_the_plant_and_its_results_stay_as_they_are() -> None:
    before = BUILT.function("SIF-401")
    outcome(BUILT, "SIF-401", variant(("xv-401", "voting", "1oo2")))
    assert BUILT.function("SIF-401") == before
    assert BUILT.plant == plant_file.read(PLANT).model_copy(update={"answers": BUILT.plant.answers})


def test_a_variant_of_a_plant_on_the_timeline_is_calculated_by_it() -> None:
    conventions = BUILT.plant.conventions.model_copy(update={"redundancy_method": "timeline"})
    plant = BUILT.plant.model_copy(update={"conventions": conventions})
    yearly = outcome(Assessment(plant), "SIF-401", variant(("xv-401", "proof_test.interval_h", "1 y")))
    assert yearly.function is not None
    test = plant.groups["xv-401"].proof_test
    assert test is not None
    group = plant.groups["xv-401"].model_copy(update={"proof_test": test.model_copy(update={"interval_h": 8760.0})})
    changed = plant.model_copy(update={"groups": plant.groups | {"xv-401": group}})
    assert yearly.function.cases == Assessment(changed).function("SIF-401").cases
    assert yearly.uncertainty is not None
    assert yearly.uncertainty.method.id == "timeline"


def test_a_reader_who_may_see_no_answer_has_the_figures_that_all_have() -> None:
    """They are kept once for all readers. The answers behind them count, and none is shown."""
    groups = {key: BUILT.group(key) for key in BUILT.plant.groups}
    functions = {key: BUILT.function(key) for key in BUILT.plant.functions}
    reader = RedactedAssessment(BUILT, Answers(), (groups, functions, {}))
    yearly = variant(("pt-501", "proof_test.interval_h", "4380"))
    found, wanted = (outcome(each, "SIF-501", yearly).function for each in (reader, BUILT))
    assert found is not None
    assert wanted is not None
    assert found.cases == wanted.cases
    assert found.cases != functions["SIF-501"].cases
    assert beside(reader, "SIF-501", yearly) == beside(BUILT, "SIF-501", yearly)
