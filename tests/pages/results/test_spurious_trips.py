"""Spurious trips on Redundancy left: the sentence, the groups with their sum, and other voting beside the result."""

from __future__ import annotations

import pytest

from checks.analysis import spurious_trips
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from checks.text.number_format import measure, per_year
from pages.presentation import trip_rows
from scoring.spurious_trips.conventions import BETA
from scoring.voting import read
from tests.checks.given import plain_2
from tests.pages.shown import Holding, Screen, fine, rows, said, unescaped

ISA, SPLIT = "ISA-TR84 2002", "Beta split"


@pytest.mark.parametrize("key", ["SIF-301", "SIF-210"])
def test_a_function_shows_its_trips_by_both_conventions_with_the_sum(store: Store, screen: Screen, key: str) -> None:
    trips = spurious_trips.of_function(Live(store, 1).state().assessment, key)
    at = fine(screen("redundancy", function=key, part="trips"))
    shown = unescaped(said(at))
    assert trip_rows.sentence(trips) in shown
    assert BETA in shown
    assert "from memory" in shown
    table = {row["Group"]: row for row in rows(at, "Spurious trips by group")}
    assert list(table) == [*(group.id for group in trips.groups), key]
    for name, total in zip((ISA, SPLIT), trips.totals, strict=True):
        assert table[key][f"{name}, per year"] == per_year(total.per_year)


@pytest.mark.usefixtures("store")
def test_the_table_of_votings_sets_safety_against_spurious_trips(store: Store, screen: Screen) -> None:
    assessment = Live(store, 1).state().assessment
    at = fine(screen("redundancy", function="SIF-301", group="pt-301"))
    table = {row["Voting"]: row for row in rows(at, "Result and spurious trips by voting of pt-301")}
    assert set(table) == {"2oo3 as built", "1oo1 instead", "1oo2 instead", "2oo2 instead", "1oo3 instead"}
    scored = assessment.function("SIF-301").cases.scored
    assert table["2oo3 as built"]["RRF of SIF-301"] == measure("low", scored)
    for voting in ("2oo3 as built", "1oo2 instead", "2oo2 instead"):
        group = spurious_trips.of_group(assessment, "pt-301", read(voting[:4]))
        for trips, name in zip(group.trips, (ISA, SPLIT), strict=True):
            assert table[voting][f"{name}, spurious trips of pt-301 per year"] == per_year(trips.per_year)


def test_what_is_not_entered_is_named_and_the_sum_is_only_a_least_value(holding: Holding, screen: Screen) -> None:
    holding(Plant.model_validate(plain_2()))
    at = fine(screen("redundancy", function="SIF-2", part="trips"))
    shown = unescaped(said(at))
    assert "SIF-2 trips without a demand at least " in shown
    assert "ft: no lambda_s_fit of FT" in shown
    table = {row["Group"]: row for row in rows(at, "Spurious trips by group")}
    assert table["ft"][f"{ISA}, per year"] == "not known"
    assert table["SIF-2"][f"{ISA}, per year"].startswith("at least ")


def test_a_function_without_any_rate_says_that_none_is_known(holding: Holding, screen: Screen) -> None:
    raw = plain_2()
    for device in raw["devices"].values():
        device.pop("lambda_s_fit", None)
        device.pop("lambda_sd_fit", None)
    raw["functions"] = {"SIF-1": {"demand": "low", "target_sil": 2, "groups": ["pt", "ls", "esv"]}}
    raw["systems"] = {}
    del raw["groups"]["cpu"]
    holding(Plant.model_validate(raw))
    shown = unescaped(said(fine(screen("redundancy", function="SIF-1", part="trips"))))
    assert (
        "No spurious trip rate of SIF-1 is known. Not known: pt: no lambda_s_fit of PT; ls: its result is stated"
        in shown
    )
