"""A redundant element inside a channel, from the plant file to the figures of groups and functions. Confidence: derived."""

from __future__ import annotations

from math import exp
from typing import Any

import pytest
from scipy.integrate import quad

from checks.assessment import redundancy_inputs
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import remarks
from checks.plantfile.plant import Plant
from checks.timeline import timed_groups
from scoring.moon_factors import NONE, PDS_2013, TABLE_D5
from scoring.timeline.group import Element
from scoring.timeline.instants import Rhythm
from scoring.voting import SINGLE
from tests.checks.given import ELEMENT, plain_with_element

YEAR = 8760.0
RATE, SERIES = 3e-7, 9e-7
"""Undetected failures of SOV and ESV of the plant [1/h]."""


def _esv(**changes: Any) -> dict[str, Any]:
    """The plant whose group esv has no time of repair, one yearly test and one mission; its fields changed."""
    raw = plain_with_element()
    raw["conventions"]["mission_h"] = 10 * YEAR
    for device in raw["devices"].values():
        device["lambda_dd_fit"] = 0
    test = {"interval_h": 8760, "coverage": 1.0}
    raw["groups"]["esv"] |= {"tests": [test], "check_others": False, "mttr_h": 0, "mrt_h": 0, **changes}
    return raw


def _element(voting: str, devices: list[str], **stated: Any) -> dict[str, Any]:
    return {"voting": voting, "of": devices, "stated_beta": {**ELEMENT["stated_beta"], **stated}}


def _mean(down: Any) -> float:
    value, _ = quad(down, 0.0, YEAR, epsabs=0.0, epsrel=1e-13)
    return float(value) / YEAR


def test_a_single_channel_with_an_element_is_the_product_form_in_all_four_cases() -> None:
    """1 - e^-(lambda_ESV + beta lambda) t (1 - (1 - e^-(1-beta) lambda t)^2); no beta of the group moves it."""
    raw = _esv(voting="1oo1", channels=[[dict(ELEMENT), "ESV"]])
    cases = Assessment(Plant.model_validate(raw)).group("esv").low
    assert cases is not None
    expected = _mean(lambda t: 1 - exp(-(SERIES + 0.1 * RATE) * t) * (1 - (1 - exp(-0.9 * RATE * t)) ** 2))
    found = cases.cases
    assert (found.ideal, found.adjusted, found.single) == pytest.approx([found.scored] * 3, rel=1e-12)
    assert found.scored == pytest.approx(expected, rel=1e-9)


def test_a_pair_of_channels_with_elements_shares_the_rate_of_one_device_of_each() -> None:
    """Beta of the group, 0.02 of lambda_SOV + lambda_ESV, has both down; of the rest the element has its own beta, 0.1."""
    stated = {"beta": 0.02, "beta_d": 0.02, "source": "site"}
    raw = _esv(channels=[[dict(ELEMENT), "ESV"]] * 2, stated_beta=stated)
    low = Assessment(Plant.model_validate(raw)).group("esv").low
    assert low is not None

    def channel(t: float, beta: float) -> float:
        rate = (1 - beta) * RATE
        element = 1 - exp(-0.1 * rate * t) * (1 - (1 - exp(-0.9 * rate * t)) ** 2)
        return 1 - (1 - element) * exp(-(1 - beta) * SERIES * t)

    def down(t: float, beta: float) -> float:
        return 1 - (1 - channel(t, beta) ** 2) * exp(-beta * (RATE + SERIES) * t)

    for beta, found in ((0.0, low.cases.ideal), (0.02, low.cases.scored)):
        assert found == pytest.approx(_mean(lambda t, beta=beta: down(t, beta)), rel=1e-9)
    assert low.cases.single == pytest.approx(_mean(lambda t: channel(t, 0.0)), rel=1e-9)


@pytest.mark.parametrize(
    ("convention", "of", "factor"),
    [(TABLE_D5, "pair", 1.5), (PDS_2013, "pair", 2.0), (NONE, "pair", 1.0), (TABLE_D5, "group", 1.0)],
)
def test_the_beta_of_an_element_has_the_factor_of_its_voting(convention: Any, of: str, factor: float) -> None:
    """k(2,3): 1.5 in IEC 61508-6:2010 Table D.5, 2.0 in PDS 2013 (from memory), 1 without a factor or stated of the group."""
    raw = _esv(channels=[["SOV", "ESV"], [_element("2oo3", ["SOV"] * 3, of=of), "ESV"]])
    raw["groups"]["esv"]["conventions"]["voting_factor"] = convention.about.id
    plant = Plant.model_validate(raw)
    assessment = Assessment(plant)
    moon_factor = assessment.editions.moon_factor_of(plant, plant.groups["esv"])
    element = timed_groups.timed(plant, plant.groups["esv"], SINGLE, moon_factor=moon_factor).channels[1][0]
    assert isinstance(element, Element)
    assert (element.beta, element.beta_d) == pytest.approx((0.1 * factor, 0.05 * factor))


def test_an_element_is_tested_when_its_channel_is() -> None:
    tests = [{"interval_h": 8760, "coverage": 1.0, "offsets_h": [0, 4380]}]
    plant = Plant.model_validate(_esv(tests=tests))
    group = timed_groups.timed(plant, plant.groups["esv"], plant.groups["esv"].voted, moon_factor=TABLE_D5)
    element = group.channels[1][0]
    assert isinstance(element, Element)
    assert {sought.test for device in element.devices for sought in device.sought} == {Rhythm(YEAR, 4380.0)}


def test_an_element_of_one_device_has_the_figures_of_the_device() -> None:
    one = Plant.model_validate(_esv(channels=[["SOV", "ESV"], [{"voting": "1oo1", "of": ["SOV"]}, "ESV"]]))
    plain = Plant.model_validate(_esv(channels=[["SOV", "ESV"]] * 2))
    for key in ("SIF-1", "SIF-2"):
        found, wanted = (Assessment(plant).function(key).cases for plant in (one, plain))
        assert (found.ideal, found.scored, found.adjusted) == pytest.approx(
            (wanted.ideal, wanted.scored, wanted.adjusted), rel=1e-12
        )


@pytest.mark.parametrize("key", ["SIF-1", "SIF-2"])
def test_a_second_device_never_makes_a_function_worse(key: str) -> None:
    redundant = Plant.model_validate(_esv())
    plain = Plant.model_validate(_esv(channels=[["SOV", "ESV"]] * 2))
    assert Assessment(redundant).function(key).cases.scored < Assessment(plain).function(key).cases.scored


def test_a_factor_on_the_rates_reaches_the_devices_of_an_element() -> None:
    plant = Plant.model_validate(_esv())
    assessment = Assessment(plant)
    doubled = redundancy_inputs.voted_for(assessment.editions, plant, "esv", factors={"SOV": 2.0})
    as_entered = _esv()
    as_entered["devices"]["SOV"]["lambda_du_fit"] *= 2
    other = Plant.model_validate(as_entered)
    entered = redundancy_inputs.voted_for(Assessment(other).editions, other, "esv")
    assert doubled == entered


def test_the_diagnostic_coverage_of_the_group_counts_an_element_without_its_redundancy() -> None:
    """For the answers: devices in series, M of an element at the geometric mean of their rates."""
    raw = plain_with_element({"voting": "2oo3", "of": ["SOV", "SOV", "ESV"], "stated_beta": ELEMENT["stated_beta"]})
    plant = Plant.model_validate(raw)
    channel = redundancy_inputs.channels(plant, plant.groups["esv"])[1]
    sov, esv = (plant.devices[name].lambda_du_fit for name in ("SOV", "ESV"))
    assert channel.rates.du == pytest.approx((2 * (sov * sov * esv) ** (1 / 3) + esv) * 1e-9)


PARTIAL = [{"interval_h": 8760, "coverage": 1.0}, {"interval_h": 720, "coverage": 0.6, "devices": ["ESV"]}]


def _single(**changes: Any) -> float:
    low = Assessment(Plant.model_validate(_esv(**changes))).group("esv").low
    assert low is not None
    return low.cases.single


@pytest.mark.parametrize(("voting", "count", "in_series"), [("1oo2", 2, 1), ("1oo4", 4, 1), ("2oo3", 3, 2)])
def test_without_its_redundancy_it_is_m_of_its_devices_for_the_tests_too(
    voting: str, count: int, in_series: int
) -> None:
    """One channel stands for two unlike ones; what a test of ESV alone finds is weighted with the rates of the channel."""
    element = _element(voting, ["SOV"] * count, of="group")
    plain = ["SOV"] * in_series + ["ESV"]
    found = _single(channels=[plain, [element, "ESV"]], tests=PARTIAL)
    assert found == pytest.approx(_single(channels=[plain] * 2, tests=PARTIAL), rel=1e-12)


def test_unlike_devices_of_an_element_weigh_alike_in_what_is_found_when() -> None:
    """By hand: 1oo2 of SOV and ESV has sqrt(300 x 900) FIT, half of it of each; ESV in series has 900 FIT more."""
    raw = _esv(channels=[["SOV", "ESV"], [_element("1oo2", ["SOV", "ESV"]), "ESV"]], tests=PARTIAL)
    plant = Plant.model_validate(raw)
    upkeep = redundancy_inputs.channels(plant, plant.groups["esv"])[1].upkeep
    mean = (300.0 * 900.0) ** 0.5
    shares = {found.interval: found.share for found in upkeep.found}
    assert shares[720] == pytest.approx(0.6 * (mean / 2 + 900.0) / (mean + 900.0))


def test_channels_whose_elements_differ_in_beta_alone_are_unlike_and_their_order_does_not_matter() -> None:
    first, second = ([_element("1oo2", ["SOV", "SOV"], beta=beta), "ESV"] for beta in (0.1, 0.5))
    found = [_single(channels=channels) for channels in ([first, second], [second, first])]
    assert found == pytest.approx([_single(channels=[["SOV", "ESV"]] * 2)] * 2, rel=1e-12)


def test_a_remark_says_what_it_shares_with_whom() -> None:
    listed = remarks(Plant.model_validate(plain_with_element()))
    assert (
        "esv: redundant element 1oo2 of SOV, SOV (beta 0.1, beta_d 0.05) inside a channel: what all channels share fails all its "
        "devices; of the rest its own beta is shared inside it, in every case alike (house rule)"
    ) in listed


def test_the_report_puts_the_numbers_in() -> None:
    """By hand: of 300 FIT the group shares 0.02, of the rest the element shares 0.1."""
    stated = {"beta": 0.02, "beta_d": 0.02, "source": "site"}
    plant = Plant.model_validate(_esv(stated_beta=stated))
    editions = Assessment(plant).editions
    built = redundancy_inputs.voted_for(editions, plant, "esv")
    lines = editions.redundancy_of("esv").worked("pfd", built, beta=0.02, beta_d=0.02)
    for wanted in (
        "1oo2 element in a channel: undetected, of one device alone = 0.9 x 0.98 x 3e-07 = 2.646e-07/h",
        "1oo2 element in a channel: undetected, of all its devices = 0.1 x 0.98 x 3e-07 = 2.94e-08/h",
        "1oo2 element in a channel: 1 of the undetected ones is found every 8760 h, first after 8760 h",
    ):
        assert wanted in lines
