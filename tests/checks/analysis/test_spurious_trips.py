"""Spurious trips of groups and functions: from entered rates, with other voting, and where something is not known."""

from __future__ import annotations

from typing import Any

import pytest

from checks.analysis import spurious_trips
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from demo.load import PLANT
from scoring.spurious_trips.conventions import CONVENTIONS
from scoring.voting import read
from tests.checks.given import plain_2

DEMO = Assessment(plant_file.read(PLANT))
ISA, SPLIT = (convention.about.id for convention in CONVENTIONS)


def by_convention(group: spurious_trips.GroupTrips) -> dict[str, spurious_trips.Trips]:
    return {trips.convention: trips for trips in group.trips}


def changed(*path: Any, value: Any) -> Assessment:
    """The plant with everything of format 2, with one place changed."""
    raw: Any = plain_2()
    node = raw
    for step in path[:-1]:
        node = node[step]
    node[path[-1]] = value
    return Assessment(Plant.model_validate(raw))


def test_a_single_channel_trips_by_every_device_in_series_and_by_detected_failures_where_it_acts_on_them() -> None:
    """Derived by hand: SOV 500 and ESV 1800 FIT safe; LTR 900 FIT safe and 950 FIT detected, which it acts on; 8760 h."""
    valve, radar = (by_convention(spurious_trips.of_group(DEMO, key)) for key in ("esv-701", "ltr-701"))
    for convention in (ISA, SPLIT):
        assert valve[convention].per_year == pytest.approx(2300e-9 * 8760, rel=1e-12)
        assert radar[convention].per_year == pytest.approx(1850e-9 * 8760, rel=1e-12)
        assert valve[convention].common_per_year == 0.0


def test_a_pair_trips_by_either_channel_with_the_beta_of_a_pair() -> None:
    """Derived by hand: 2 lambda + beta lambda, and (2 - beta) lambda, of 2300 FIT; the beta is that of the answers."""
    betas = DEMO.group("esv-301").betas
    assert betas is not None
    pair, rate = spurious_trips.of_group(DEMO, "esv-301"), 2300e-9
    assert pair.beta == betas.beta_int
    found = by_convention(pair)
    assert found[ISA].per_year == pytest.approx((2 + betas.beta_int) * rate * 8760, rel=1e-12)
    assert found[SPLIT].per_year == pytest.approx((2 - betas.beta_int) * rate * 8760, rel=1e-12)


def test_a_function_trips_by_each_of_its_groups() -> None:
    trips = spurious_trips.of_function(DEMO, "SIF-301")
    assert trips.missing == ()
    for at, total in enumerate(trips.totals):
        assert total.complete
        parts = [group.trips[at].per_year for group in trips.groups]
        assert total.per_year == pytest.approx(sum(part for part in parts if part is not None), rel=1e-12)
        assert total.common_share is not None
        assert 0.0 < total.common_share < 1.0


def test_the_cyber_scenario_changes_no_spurious_trip() -> None:
    opened = DEMO.with_answers(
        [answer.model_copy(update={"value": "not-met"}) for answer in DEMO.answers if answer.of == "zone:Z5"]
    )
    assert opened.function("SIF-301").cases.adjusted > DEMO.function("SIF-301").cases.adjusted
    assert spurious_trips.of_function(opened, "SIF-301") == spurious_trips.of_function(DEMO, "SIF-301")


def test_a_device_without_a_safe_failure_rate_gives_no_trip_rate_and_never_0() -> None:
    assessment = changed("devices", "FT", "lambda_du_fit", value=700)
    group = spurious_trips.of_group(assessment, "ft")
    assert [trips.per_year for trips in group.trips] == [None, None]
    assert {trips.missing for trips in group.trips} == {"no lambda_s_fit of FT"}
    trips = spurious_trips.of_function(assessment, "SIF-2")
    assert [total.per_year for total in trips.totals] == [None, None]
    assert all(total.known > 0.0 for total in trips.totals), "the least is that of the groups with a rate"
    assert "ft: no lambda_s_fit of FT" in trips.missing


def test_a_rate_of_0_that_somebody_entered_is_a_rate() -> None:
    assessment = changed("devices", "FT", "lambda_s_fit", value=0)
    assert [trips.per_year for trips in spurious_trips.of_group(assessment, "ft").trips] == [0.0, 0.0]


def test_a_stated_result_states_no_trip_rate() -> None:
    (first, second) = spurious_trips.of_group(Assessment(Plant.model_validate(plain_2())), "ls").trips
    assert first.missing == second.missing == "its result is stated, a spurious trip rate is not"


def test_1oo2d_has_no_equation() -> None:
    trips = spurious_trips.of_group(Assessment(Plant.model_validate(plain_2())), "cpu").trips
    assert all("1oo2D has no equation" in each.missing for each in trips)


def test_two_out_of_two_has_no_common_cause_part_where_no_beta_is_known() -> None:
    raw = plain_2()
    raw["groups"]["pt"] |= {"voting": "2oo2", "channels": [["PT"], ["PT"]]}
    raw["functions"]["SIF-1"]["groups"] = ["pt", "ls", "esv"]
    trips = spurious_trips.of_group(Assessment(Plant.model_validate(raw)), "pt").trips
    assert [each.per_year for each in trips] == [None, None]
    assert all("no beta is known for 2oo2" in each.missing for each in trips)


def test_another_voting_has_the_same_common_cause_part_and_fewer_trips_the_more_must_agree() -> None:
    one, two, three = (spurious_trips.of_group(DEMO, "pt-301", read(arch)) for arch in ("1oo3", "2oo3", "3oo3"))
    common = {each.common_per_year for group in (one, two, three) for each in group.trips if each.rate}
    assert len(common) == 1
    rates = [by_convention(group)[SPLIT].per_year for group in (one, two, three)]
    assert None not in rates
    assert rates == sorted(rates, key=lambda rate: -(rate or 0.0))
    assert by_convention(three)[ISA].per_year is None, "not printed"


def test_a_function_that_votes_a_group_otherwise_has_that_group_trip_otherwise() -> None:
    assessment = Assessment(Plant.model_validate(plain_2()))
    (group, *_) = spurious_trips.of_function(assessment, "SIF-1").groups
    assert (group.id, group.arrangement) == ("pt", "1oo3")
    assert group == spurious_trips.of_group(assessment, "pt", read("1oo3"))


def test_a_long_restoration_is_remarked() -> None:
    raw = plain_2()
    raw["groups"]["pt"]["mttr_h"] = 87600
    raw["devices"]["PT"]["lambda_s_fit"] = 2000
    assessment = Assessment(Plant.model_validate(raw))
    assert "rate x MTTR of a channel is above 0.1" in spurious_trips.of_group(assessment, "pt").remark
    assert spurious_trips.of_group(DEMO, "pt-301").remark == ""


def test_the_json_has_both_conventions_of_every_group_and_function_with_all_alone() -> None:
    with_all, without = outcome(DEMO, second=True), outcome(DEMO)
    for block in ("groups", "functions"):
        for key, found in with_all[block].items():
            assert set(found["spurious_trips_per_year"]) == {ISA, SPLIT}
            assert "spurious_trips_per_year" not in without[block][key]
    total = {each.convention: each for each in spurious_trips.of_function(DEMO, "SIF-301").totals}[ISA]
    assert with_all["functions"]["SIF-301"]["spurious_trips_per_year"][ISA] == {
        "value": total.per_year,
        "common_cause": total.common,
        "at_least": total.known,
    }
