"""Changed plant data: what stays is what the change cannot touch, and every figure is that of a fresh assessment."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from checks.analysis.json_results import outcome
from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from tests.checks.given import plain_2

Change = Callable[[dict[str, Any]], object]
CHANGES: dict[str, Change] = {
    "nothing": lambda raw: raw,
    "a rate": lambda raw: raw["devices"]["PT"].update(lambda_du_fit=900),
    "an interval": lambda raw: raw["groups"]["esv"]["tests"][0].update(interval_h=17520),
    "a voting in one function": lambda raw: raw["functions"]["SIF-1"]["groups"].__setitem__(0, "pt"),
    "a convention": lambda raw: raw["conventions"].update(voting_factor="pds-2013"),
    "a mission": lambda raw: raw["conventions"].update(mission_h=175200),
    "a zone": lambda raw: raw["groups"]["pt"].update(zone="pkg"),
    "a system": lambda raw: raw["systems"].update(S1={"functions": ["SIF-1"]}, S2={"functions": ["SIF-2", "SIF-3"]}),
    "a group less": lambda raw: raw["functions"]["SIF-1"]["groups"].pop(1),
}


@pytest.mark.parametrize("name", CHANGES)
def test_results_after_a_change_of_plant_data_are_those_of_a_fresh_assessment(name: str) -> None:
    before = Assessment(Plant.model_validate(plain_2()))
    outcome(before)
    raw = plain_2()
    CHANGES[name](raw)
    after = Plant.model_validate(raw)
    fresh = Assessment(after, Answers(before.answers))
    assert outcome(before.with_plant(after)) == outcome(fresh)


def test_a_change_of_one_group_keeps_the_results_of_the_others() -> None:
    before = Assessment(Plant.model_validate(plain_2()))
    outcome(before)
    raw = plain_2()
    CHANGES["an interval"](raw)
    after = before.with_plant(Plant.model_validate(raw))
    assert after.group("pt") is before.group("pt")
    assert after.function("SIF-3") is before.function("SIF-3")
    assert after.group("esv") != before.group("esv")
