"""The score of a group among the bands of Table D.4."""

from __future__ import annotations

import pytest

from checks.assessment import score_bands
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from demo.load import PLANT
from tests.checks.given import answer, assessed

DEMO = Assessment(plant_file.read(PLANT))


@pytest.mark.parametrize("group", [key for key in DEMO.plant.groups if DEMO.questioned(key)])
def test_the_band_gives_the_beta_of_the_group_and_the_way_to_the_next_one(group: str) -> None:
    here, result = score_bands.of_group(DEMO, group), DEMO.group(group)
    assert here is not None
    assert result.betas is not None
    assert here.bands[here.at][1] == result.betas.beta_int
    assert here.missing == DEMO.editions.beta.missing(result.part, here.score)
    assert here.score <= here.most


def test_a_group_without_a_questionnaire_stands_in_no_band() -> None:
    assert score_bands.of_group(DEMO, "xv-401") is None


def test_the_best_band_has_no_next_one_and_one_beyond_all_answers_is_out_of_reach() -> None:
    none = assessed()
    every = none.with_answers(answer(name, "group:esv-301") for name in none.questioned("esv-301"))
    worst, best = (score_bands.of_group(each, "esv-301") for each in (none, every))
    assert worst is not None
    assert best is not None
    assert (worst.score, worst.at, worst.following, worst.within_reach) == (0.0, 0, (45, 0.05), True)
    assert (best.score, best.at, best.following, best.within_reach) == (best.most, 2, (120, 0.01), False)
    beyond = score_bands.ScoreBands(best.bands, 121.0, best.most)
    assert (beyond.at, beyond.following, beyond.missing, beyond.within_reach) == (3, None, None, False)
