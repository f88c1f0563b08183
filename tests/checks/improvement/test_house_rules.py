"""Which actions change places with a house constant."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import pytest

from checks.assessment.assessment import Assessment
from checks.improvement import gains, house_rules
from checks.improvement.model import model
from checks.plantfile import plant_file
from demo.load import PLANT
from scoring.exposure import CLASS_VALUE
from scoring.improvement.problem import ExposedTopic


@pytest.mark.parametrize("weight", [3, 2, 1])
def test_a_scaled_topic_has_the_exposure_of_the_scaled_class_value(weight: int) -> None:
    value = CLASS_VALUE[weight]
    topic = ExposedTopic(-log(1.0 - value), (), weight)
    assert 1.0 - exp(-topic.scaled(2.0).amount) == pytest.approx(2.0 * value)
    assert 1.0 - exp(-topic.scaled(0.5).amount) == pytest.approx(value / 2.0)


def test_without_the_cyber_scenario_only_answers_near_the_smallest_change_depend_on_a_house_rule() -> None:
    built = model(Assessment(plant_file.read(PLANT)), ["SIF-301", "SIF-501"], "scored", efforts={})
    listed = gains.largest(built)
    for at in house_rules.dependent(built):
        gain = listed[at]
        assert gain is not None
        assert 0.005 <= gain.factor - 1.0 <= 0.02


def test_with_the_cyber_scenario_topics_of_different_weight_change_places() -> None:
    built = model(Assessment(plant_file.read(PLANT)), ["SIF-301"], "adjusted", efforts={})
    dependent = {built.actions[at][0] for at in house_rules.dependent(built)}
    assert dependent & set(built.assessment.banks.cyber)
    none = replace(built, problem=built.problem.with_class_value(3, 1.0))
    assert house_rules.dependent(none) == house_rules.dependent(built)
