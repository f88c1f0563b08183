"""The ladder of beta bands: how far it is filled, its marks, and its words."""

from __future__ import annotations

import re

import pytest

from checks.assessment.score_bands import ScoreBands
from pages.charts.ladder_html import in_words, ladder
from pages.presentation.palette import DARK, LIGHT
from scoring.common_cause import bands

FIELD = bands("sensor")
END = 120 * 1.15


def at(score: float, most: float = 101.5) -> ScoreBands:
    return ScoreBands(FIELD, score, most)


def lengths(drawn: str, what: str) -> list[float]:
    """Left ends, or widths of the filled parts, in points."""
    pattern = r'class="kept"[^>]*?width:([\d.]+)%' if what == "kept" else rf'class="{what}"[^>]*?left:([\d.]+)%'
    return [float(share) / 100.0 * END for share in re.findall(pattern, drawn)]


@pytest.mark.parametrize("score", [0.0, 27.0, 45.0, 66.5, 120.0])
def test_the_stair_is_filled_as_far_as_the_score_and_the_mark_stands_there(score: float) -> None:
    drawn = ladder(at(score), LIGHT)
    assert sum(lengths(drawn, "kept")) == pytest.approx(score, abs=0.02)
    assert lengths(drawn, "score") == [pytest.approx(score, abs=0.01)]
    assert f">{score:g}</div>" in drawn


def test_each_bound_and_each_beta_is_written_and_the_present_one_stands_out() -> None:
    drawn = ladder(at(66.0), DARK)
    for text in (">0<", ">45<", ">70<", ">120<", ">10 %<", ">5 %<", ">2 %<", ">1 %<"):
        assert text in drawn
    assert re.findall(r"font-weight:700[^>]*>([^<]*)<", drawn) == ["5 %", "66"]


def test_the_score_before_is_dotted_where_it_differs() -> None:
    assert lengths(ladder(at(47.0), LIGHT, 27.0), "before") == [pytest.approx(27.0, abs=0.01)]
    assert 'class="before"' not in ladder(at(47.0), LIGHT, 47.0)


def test_the_words_are_shown_and_are_the_text_alternative() -> None:
    words = "Score 47, was 27: 1oo2 beta 5 % (from 45); 23 points to 2 % (from 70)"
    assert in_words(at(47.0), 27.0) == words
    drawn = ladder(at(47.0), LIGHT, 27.0)
    assert f'role="img" aria-label="{words}"' in drawn
    assert f"<div>{words}</div>" in drawn


def test_a_band_that_answers_cannot_reach_says_so_and_the_best_band_has_no_next() -> None:
    assert in_words(at(90.0)).endswith("30 points to 1 % (from 120), out of reach: all answers together score 101.5")
    assert in_words(at(130.0, 131.0)) == "Score 130: 1oo2 beta 1 % (from 120), the best band"
