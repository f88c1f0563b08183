"""Architecture on Redundancy left: one statement a cell, each in the words of its route."""

from __future__ import annotations

import pytest

from checks.analysis import architecture
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from tests.checks.given import plain_2
from tests.pages.shown import Holding, Screen, fine, rows, said, unescaped


@pytest.mark.parametrize("key", ["SIF-301", "SIF-210"])
def test_a_function_shows_what_each_route_says_of_each_group(store: Store, screen: Screen, key: str) -> None:
    stated = architecture.of_function(Live(store, 1).state().assessment, key)
    at = fine(screen("redundancy", function=key, part="architecture"))
    shown = unescaped(said(at))
    for sentence in (stated.sil_words, stated.capability_words, architecture.DEFERS):
        assert sentence in shown
    table = {row["Group"]: row for row in rows(at, "Architecture by group")}
    for group in stated.groups:
        cells = [table[group.id][name] for name in ("Route 1H", "Route 2H", "IEC 61511-1 Table 6")]
        assert cells == [each.words for each in group.statements]
        assert table[group.id]["Systematic capability"] == group.capability_words
    devices = {row["Device"]: row for row in rows(at, "Devices and their SFF")}
    assert list(devices) == [device.id for device in stated.devices]


def test_what_is_not_entered_is_said_to_be_not_stated(holding: Holding, screen: Screen) -> None:
    holding(Plant.model_validate(plain_2()))
    at = fine(screen("redundancy", function="SIF-1", part="architecture"))
    table = {row["Group"]: row for row in rows(at, "Architecture by group")}
    assert table["esv"]["Route 1H"] == "HFT 1; not stated: type of SOV, type of ESV, lambda_s_fit of ESV"
    assert table["ls"]["Route 2H"].startswith("not stated: its result is stated")
    devices = {row["Device"]: row for row in rows(at, "Devices and their SFF")}
    assert devices["ESV"]["SFF"] == "no lambda_s_fit"
    assert devices["ESV"]["Type"] == "not stated"
    assert devices["PT"]["Field data"] == "90 % confidence; site records 2014 to 2024"
