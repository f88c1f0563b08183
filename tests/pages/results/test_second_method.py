"""The second method beside the first: its figures, the sentence on the difference, and what it has no form for."""

from __future__ import annotations

import pytest

from checks.analysis.second_opinion import second_opinion
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from checks.text.number_format import measure, small
from tests.checks.given import plain_2
from tests.pages.shown import Holding, Screen, fine, rows, said, unescaped


@pytest.mark.parametrize("key", ["SIF-301", "SIF-210"])
def test_a_function_shows_both_methods_and_why_they_differ(store: Store, screen: Screen, key: str) -> None:
    assessment = Live(store, 1).state().assessment
    function, second = assessment.function(key), second_opinion(assessment, key)
    assert second is not None
    assert second.function.timeline is not None
    at = fine(screen("redundancy", function=key, part="time"))
    shown = unescaped(said(at))
    scored, adjusted = (measure(function.demand, value) for value in second.function.timeline)
    assert f" {scored} with common cause (" in shown
    assert f"), {adjusted} with the cyber scenario. " in shown
    assert shown.count(second.why) == 1
    assert f": {small(second.peak.scored)} with common cause, after" in shown
    table = {row["Group"]: row for row in rows(at, "Both methods")}
    assert list(table) == [*(entry.id for entry in function.entries), key]
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    assert table[key][f"{unit} by Annex B"] == small(function.cases.scored)
    assert table[key][f"{unit} by timeline"] == small(second.function.timeline[0])


def test_a_bought_group_is_said_to_be_taken_from_the_first_method(holding: Holding, screen: Screen) -> None:
    raw = plain_2()
    raw["functions"]["SIF-4"] = {"demand": "low", "target_sil": 1, "groups": ["ls"]}
    holding(Plant.model_validate(raw))
    shown = unescaped(said(fine(screen("redundancy", function="SIF-1", part="time"))))
    assert "ls: taken from the first method, as stated." in shown
    shown = said(fine(screen("redundancy", function="SIF-4", part="time")))
    assert "The timeline does not cover these groups" in shown
