"""The uncertainty of a function on screen: band in words, shares as bars and as a table, and who may see it."""

from __future__ import annotations

import pytest

from checks.access.roles import VIEWER, Person
from checks.analysis import uncertainty
from checks.assessment import verdicts
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.state.live import Live
from checks.text.number_format import measure, percent
from checks.visibility import redaction
from pages.charts.rails import LEAST_SHARE
from tests.checks.given import plain_2
from tests.pages.at_the_screen import as_
from tests.pages.shown import Holding, Screen, chart, fine, numbers, rows, said, unescaped

PLACE = 0
"""Place of the chart among those of its part."""


@pytest.mark.parametrize("key", ["SIF-301", "SIF-210"])
def test_the_band_stands_in_words_and_each_share_in_the_table(store: Store, screen: Screen, key: str) -> None:
    assessment = Live(store, 1).state().assessment
    function, found = assessment.function(key), uncertainty.of_function(assessment, key)
    assert found is not None
    at = fine(screen("redundancy", function=key, part="rests"))
    shown = unescaped(said(at))
    worst, best = (measure(function.demand, end) for end in (found.band.p95, found.band.p5))
    assert shown.count(f"{worst} to {best}") == 2, "once beside the verdicts, once in its section"
    assert verdicts.contrary(function, found.misses or 0.0) in shown
    assert "8,192 points, seed 1, by IEC 61508-6:2010 Annex B, generalised to MooN, edition 2" in shown
    table = rows(at, "Share of each input")
    assert [row["Share of the uncertainty"] for row in table] == [
        *(percent(part.share) for part in found.rests_on),
        percent(found.rest),
    ]
    drawn = [bar for trace in chart(at, PLACE)["data"] if trace.get("base") for bar in numbers(trace["x"])]
    listed = [part.share for part in found.rests_on if part.share >= LEAST_SHARE]
    assert sorted(bar for bar in drawn if bar < 100.0) == pytest.approx(
        sorted(100.0 * share for share in (*listed, found.rest))
    )


def test_a_viewer_sees_the_same_band_and_none_of_the_answers(store: Store, screen: Screen) -> None:
    state = Live(store, 1).state()
    seen = redaction.seen(state, Person("VW-1", frozenset((VIEWER,))))
    assert not list(seen.assessment.answers)
    for key in state.plant.functions:
        assert uncertainty.of_function(seen.assessment, key) == uncertainty.of_function(state.assessment, key)
    at = as_(screen("redundancy", function="SIF-301", part="rests"), "VW-1", VIEWER)
    assert rows(at, "Share of each input")


def test_the_plant_screen_gives_band_and_probability_of_every_function(store: Store, screen: Screen) -> None:
    assessment = Live(store, 1).state().assessment
    at = fine(screen("plant"))
    listed = {row["Function"]: row for row in rows(at, "Functions with target")}
    turning = []
    for function in assessment.functions():
        found = uncertainty.of_function(assessment, function.id)
        assert found is not None
        assert found.misses is not None
        row = listed[function.id]
        assert row["Misses the target"] == percent(found.misses)
        assert row["Rests mostly on"] == found.rests_on[0].input.name
        if verdicts.doubt(function, found.misses) >= verdicts.IN_DOUBT:
            turning.append(function.id)
    assert f"may turn within the uncertainty of the inputs: {', '.join(turning)};" in unescaped(said(at))


def test_a_function_without_an_uncertain_input_says_so(holding: Holding, screen: Screen) -> None:
    raw = plain_2()
    raw["functions"]["SIF-4"] = {"demand": "low", "target_sil": 1, "groups": ["ls"]}
    holding(Plant.model_validate(raw))
    assert "No input of this function is uncertain" in said(fine(screen("redundancy", function="SIF-4", part="rests")))
