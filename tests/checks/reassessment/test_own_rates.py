"""Rates observed on the plant: time in service, which failures fall into it, and what is missing."""

from __future__ import annotations

import pytest
from scipy import stats

from checks.plantfile.equipment import Group
from checks.reassessment.own_rates import OwnRate, own_rates
from tests.checks.reassessment.own import DAY, failed, history, observed

VALVES = ("esv-301", "esv-501", "esv-701", "esv-702")
CHANNELS = 6


def _valves(rates: list[OwnRate]) -> OwnRate:
    return next(rate for rate in rates if rate.devices == ("SOV", "ESV"))


def test_time_in_service_is_that_of_every_channel_with_the_same_devices() -> None:
    rate = _valves(own_rates(history(plant=observed("2025-06-01")), ["esv-301"]))
    assert rate.groups == VALVES
    assert rate.channels == CHANNELS
    assert rate.observed is not None
    assert rate.observed.hours == 365 * 24.0 * CHANNELS
    assert rate.assumed == pytest.approx(2400e-9)  # SOV 300 and ESV 2100 FIT in series


def test_the_interval_is_that_of_the_channels_that_failed_since_the_start() -> None:
    records = [
        failed("esv-501", "ESV-501A", "ESV-501B"),
        failed("esv-301", "ESV-301A"),
        failed("esv-301", "ESV-301A", on="2022-05-31"),  # the day before
        failed("esv-301", "ESV-301A", found_by="self-test"),
    ]
    rate = _valves(own_rates(history(records, plant=observed("2022-06-01")), ["esv-301"]))
    assert rate.observed is not None
    assert rate.observed.failures == 3
    hours = 1461 * 24.0 * CHANNELS
    assert rate.observed.high == pytest.approx(stats.chi2.ppf(0.95, 8) / (2.0 * hours))
    assert rate.observed.low == pytest.approx(stats.chi2.ppf(0.05, 6) / (2.0 * hours))


def test_without_a_start_of_observation_there_is_no_rate_and_the_groups_are_named() -> None:
    rate = _valves(own_rates(history(plant=observed("2022-06-01", "esv-501")), ["esv-301"]))
    assert (rate.groups, rate.unobserved) == (("esv-501",), ("esv-301", "esv-701", "esv-702"))
    none = _valves(own_rates(history(plant=observed("2022-06-01", "pt-301")), ["esv-301"]))
    assert none.observed is None
    assert none.standing is None


def test_an_observation_that_begins_today_or_later_is_none() -> None:
    rate = _valves(own_rates(history(plant=observed(DAY.isoformat())), ["esv-301"]))
    assert rate.observed is None


def test_groups_whose_failures_the_reader_may_not_see_lend_no_time_either() -> None:
    records = [failed("esv-501", "ESV-501A")]
    rate = _valves(own_rates(history(records, plant=observed(), groups=("esv-301",)), ["esv-301"]))
    assert rate.observed is not None
    assert (rate.channels, rate.observed.failures, rate.not_shown) == (2, 0, 3)


def test_each_kind_of_channel_is_listed_once() -> None:
    rates = own_rates(history(plant=observed()), ["pt-301", "pt-501", "esv-301"])
    assert [rate.devices for rate in rates] == [("PT",), ("SOV", "ESV")]


def test_channels_with_a_redundant_element_have_no_rate() -> None:
    """A record says that the channel failed, or was found degraded, and not which devices of the element."""
    plant = observed("2022-06-01")
    element = {"voting": "1oo2", "of": ["SOV", "SOV"], "stated_beta": {"beta": 0.1, "beta_d": 0.1, "source": "site"}}
    built = Group.model_validate({**plant.groups["esv-301"].model_dump(), "channels": [[element, "ESV"]] * 2})
    changed = plant.model_copy(update={"groups": {**plant.groups, "esv-301": built}})
    assert own_rates(history(plant=changed), ["esv-301"]) == []
    (rate,) = own_rates(history(plant=changed), ["esv-501"])
    assert "esv-301" not in rate.groups
