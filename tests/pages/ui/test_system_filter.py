"""The filter by system: kept in the address, and never in the way of what the address names."""

from __future__ import annotations

import pytest

from checks.plantfile.plant import Plant
from tests.checks.given import plain
from tests.pages.shown import Holding, Screen, chart, fine, rows, said, where


@pytest.mark.usefixtures("store")
def test_the_address_filters_each_screen_by_its_system(screen: Screen) -> None:
    plant = fine(screen("plant", filter="S30"))
    assert {row["Function"] for row in rows(plant, "Functions with target")} == {"SIF-301", "SIF-302", "SIF-303"}
    function = fine(screen("redundancy", filter="S70")).selectbox(key="choose_function")
    assert [name.split()[0] for name in function.options] == ["SIF-701", "SIF-702"]
    zones = fine(screen("zones", filter="S50"))
    assert [name.split()[0] for name in zones.selectbox(key="choose_zone").options] == ["Z5"]
    due = fine(screen("due", filter="S30"))
    assert [row["System"].split()[0] for row in rows(due, "Systems, the most urgent first")] == ["S30"]


@pytest.mark.usefixtures("store")
def test_a_chosen_system_stands_in_the_address_until_all_are_chosen(screen: Screen) -> None:
    at = fine(screen("plant"))
    assert len(rows(at, "Functions with target")) == 8
    fine(at.selectbox(key="filter_system").set_value("S20").run())
    assert where(at, "filter") == "S20"
    assert [row["Function"] for row in rows(at, "Functions with target")] == ["SIF-210"]
    fine(at.selectbox(key="filter_system").set_value("-").run())
    assert len(rows(at, "Functions with target")) == 8


@pytest.mark.usefixtures("store")
def test_a_function_or_zone_of_another_system_is_shown_all_the_same(screen: Screen) -> None:
    at = fine(screen("redundancy", filter="S30", function="SIF-401"))
    assert at.selectbox(key="choose_function").value == "SIF-401"
    assert at.selectbox(key="filter_system").value == "-"
    zones = fine(screen("zones", filter="S50", zone="Z6"))
    assert zones.selectbox(key="choose_zone").value == "Z6"


def test_of_many_functions_the_worst_30_are_shown_and_the_rest_is_counted(holding: Holding, screen: Screen) -> None:
    raw = plain()
    raw["systems"] = {}
    low = next(function for function in raw["functions"].values() if function["demand"] == "low")
    raw["functions"] = {f"F-{number}": {**low, "name": "", "target_rrf": 10.0 * 1.3**number} for number in range(41)}
    raw["answers"] = []
    holding(Plant.model_validate(raw))
    at = fine(screen("plant"))
    shown = [row["Function"] for row in rows(at, "Functions with target")]
    assert shown == [f"F-{number}" for number in range(40, 10, -1)]
    assert len(chart(at)["data"][0]["customdata"]) == 30
    assert "11 more functions with a better margin: " in said(at)
