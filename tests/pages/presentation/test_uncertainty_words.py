"""Words on the uncertainty of several results."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.analysis import uncertainty
from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from demo.load import PLANT
from pages.presentation import uncertainty_words

DEMO = Assessment(plant_file.read(PLANT))
MET, SHORT = ("SIF-301", "SIF-701"), "SIF-401"


def test_the_function_most_in_doubt_is_named_of_those_that_meet_their_targets() -> None:
    functions = [DEMO.function(key) for key in (*MET, SHORT)]
    bands = {function.id: band for function in functions if (band := uncertainty.of_function(DEMO, function.id))}
    worst = max(MET, key=lambda key: bands[key].misses or 0.0)
    odds = verdicts.odds(bands[worst].misses or 0.0)
    text = uncertainty_words.most_in_doubt("after the set", functions, bands)
    assert text.startswith(f"Most in doubt after the set: {worst} meets the target by a factor ")
    assert f"; {odds} that it does not" in text
    alone = uncertainty_words.most_in_doubt("after the set", [DEMO.function(worst)], bands)
    assert alone == text.replace("Most in doubt after", "After")


def test_of_functions_that_fall_short_or_have_no_band_nothing_is_in_doubt() -> None:
    band = uncertainty.of_function(DEMO, SHORT)
    assert band is not None
    assert uncertainty_words.most_in_doubt("now", [DEMO.function(SHORT)], {SHORT: band}) == ""
    assert uncertainty_words.most_in_doubt("now", [DEMO.function("SIF-301")], {}) == ""


@pytest.mark.parametrize(("misses", "words"), [(0.001, "under 1 in 20"), (0.25, "1 in 4"), (0.4, "4 in 10")])
def test_the_odds_are_in_words(misses: float, words: str) -> None:
    band = uncertainty.of_function(DEMO, "SIF-301")
    assert band is not None
    text = uncertainty_words.most_in_doubt("now", [DEMO.function("SIF-301")], {"SIF-301": replace(band, misses=misses)})
    assert f"; {words} that it does not" in text
