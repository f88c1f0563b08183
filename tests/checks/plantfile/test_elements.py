"""A redundant element inside a channel in the plant file: read, written back, and refused in words that say what to do."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from scoring.voting import Voting
from tests.checks.given import ELEMENT, plain_with_element, told_of_data

AT = "groups.esv.channels.1.0"


def _with(**changes: Any) -> dict[str, Any]:
    """The plant with fields of its element changed, or removed where None."""
    element = {key: value for key, value in {**ELEMENT, **changes}.items() if value is not None}
    return plain_with_element(element)


def test_it_is_read_and_written_back_as_it_is() -> None:
    plant = Plant.model_validate(plain_with_element())
    (element,) = plant.groups["esv"].elements
    assert (element.voting, element.of, str(element)) == (Voting(1, 2), ("SOV", "SOV"), "1oo2 of SOV, SOV")
    assert plant.groups["esv"].devices == ("SOV", "ESV")
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant
    written = plant_file.plain(plant)["groups"]["esv"]["channels"]
    assert written == plain_with_element()["groups"]["esv"]["channels"]


@pytest.mark.parametrize(
    "element",
    [
        {"voting": "2oo2", "of": ["SOV", "ESV"]},
        {"voting": "1oo1", "of": ["SOV"]},
        {"voting": "2oo3", "of": ["SOV", "SOV", "ESV"], "stated_beta": {**ELEMENT["stated_beta"], "of": "group"}},
    ],
)
def test_other_votings_are_read_too(element: dict[str, Any]) -> None:
    raw = plain_with_element(element)
    assert told_of_data(raw) == []
    plant = Plant.model_validate(raw)
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant


REFUSED = [
    (_with(of=["SOV"]), f"{AT}.of", "1 device; 1oo2 has 2: one id for each device"),
    (_with(of=["SOV"] * 3), f"{AT}.of", "3 devices; 1oo2 has 2: one id for each device"),
    (_with(of=["SOV", "XYZ"]), f"{AT}.of.1", "XYZ is not among the devices"),
    (_with(of="SOV"), f"{AT}.of", "device ids, one for each device of the redundant element"),
    (_with(of=[]), f"{AT}.of", "device ids, one for each device of the redundant element"),
    (_with(of=[["SOV"], "SOV"]), f"{AT}.of.0", "device ids, one for each"),
    (_with(of=None), f"{AT}.of", "device ids, one for each device of the redundant element"),
    (_with(voting="two"), f"{AT}.voting", "of the devices of the redundant element"),
    (_with(voting=None), f"{AT}.voting", "of the devices of the redundant element"),
    (_with(voting="1oo2D"), f"{AT}.voting", "1oo2D inside a channel"),
    (_with(stated_beta=None), f"{AT}.stated_beta", "no questions are asked of an element"),
    (_with(stated_beta={"beta": 0.1, "beta_d": 0.1}), f"{AT}.stated_beta.source", "requires the source"),
    (_with(stated_beta={"beta": 0.1, "source": "s"}), f"{AT}.stated_beta.beta_d", "a fraction, 0 to 1"),
    (
        _with(stated_beta={**ELEMENT["stated_beta"], "of": "both"}),
        f"{AT}.stated_beta.of",
        "pair (times the MooN factor) or group",
    ),
    (_with(voting="1oo1", of=["SOV"]), f"{AT}.stated_beta", "one device shares nothing"),
    (_with(voting="3oo8", of=["SOV"] * 8), f"{AT}.voting", "3oo8 has no factor"),
    (_with(name="pair"), f"{AT}.name", "unknown key"),
]


@pytest.mark.parametrize(("raw", "place", "words"), REFUSED)
def test_what_does_not_fit_is_refused_at_its_place(raw: dict[str, Any], place: str, words: str) -> None:
    assert any(f"{place} (line" in line and words in line for line in told_of_data(raw)), told_of_data(raw)


def test_annex_b_refuses_it_with_the_name_of_the_group_and_what_to_use() -> None:
    raw = plain_with_element()
    del raw["groups"]["esv"]["conventions"]
    (line,) = told_of_data(raw)
    assert AT in line
    assert "a redundant element inside a channel of esv, and annex-b has no form for it; use timeline" in line
    raw["conventions"]["redundancy_method"] = "timeline"
    assert told_of_data(raw) == []


def test_1oo2d_refuses_it() -> None:
    raw = plain_with_element()
    element = {**ELEMENT, "of": ["CPU", "CPU"]}
    raw["groups"]["cpu"]["channels"] = [[deepcopy(element)], [deepcopy(element)]]
    raw["groups"]["cpu"]["conventions"] = {"redundancy_method": "timeline"}
    assert any("groups.cpu.channels.0.0" in line and "which is 1oo2D" in line for line in told_of_data(raw))


def test_a_device_without_undetected_failures_is_refused_in_it() -> None:
    """Its rate would make the geometric mean 0, and with it what all channels share."""
    raw = plain_with_element({**ELEMENT, "of": ["SOV", "AUX"]})
    raw["devices"]["AUX"] = {"name": "Pilot", "lambda_du_fit": 0, "lambda_dd_fit": 10, "source": "invented"}
    (line,) = told_of_data(raw)
    assert f"{AT}.of.1" in line
    assert "each device of a redundant element with lambda_du_fit above 0" in line


def test_format_1_does_not_have_it() -> None:
    raw = plain_with_element()
    raw["format"] = 1
    assert any(f"{AT} (line" in line and "needs format 2" in line for line in told_of_data(raw))


def test_a_test_may_name_a_device_that_only_the_element_has() -> None:
    raw = plain_with_element({**ELEMENT, "of": ["SOV", "SO2"]})
    raw["devices"]["SO2"] = {**raw["devices"]["SOV"], "name": "Another solenoid"}
    raw["groups"]["esv"]["tests"].append({"interval_h": 720, "coverage": 0.5, "devices": ["SO2"]})
    assert told_of_data(raw) == []
