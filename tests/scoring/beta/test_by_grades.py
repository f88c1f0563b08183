"""Methods with questions of their own as the method of a group: published betas, and house rules on the safe side."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.beta.by_grades import NO_VALUE, ByGrades, asked_by
from scoring.beta.iec61508_6_2010 import AnnexD
from scoring.common_cause import PARTS, Part
from scoring.method import AskedBeta, Claims
from scoring.methods import registry

METHODS = {method.about.id: method for method in registry.ASKED_BETA.editions().values()}


def by(method: AskedBeta) -> ByGrades:
    return ByGrades(method, AnnexD())


def beta(method: str, grades: dict[str, str], part: Part = "sensor") -> float:
    estimate = by(METHODS[method]).estimate(Claims(part, (), 0.0, None, grades))
    assert estimate.beta_d == estimate.beta  # house rule: these methods know no beta_D
    assert estimate.score is None
    return estimate.beta


def all_at(method: str, at: int) -> dict[str, str]:
    return {name: list(row)[at] for name, row in METHODS[method].points().items()}


@pytest.mark.parametrize(
    ("method", "best", "worst"),
    [
        ("humphreys-1987", 51 / 51000, 15100 / 51000),
        ("upm-1996", 51 / 50000, 15100 / 50000),
        ("iec62061-2005", 0.01, 0.1),
    ],
)
def test_the_ends_are_those_of_the_published_tables(method: str, best: float, worst: float) -> None:
    """Humphreys 1987: points 51 to 15100 over 51000 (closure). UPM 1996: over 50000, IEC 62061:2005 Table F.2: from memory."""
    assert beta(method, all_at(method, -1)) == pytest.approx(best, rel=1e-12)
    assert beta(method, all_at(method, 0)) == pytest.approx(worst, rel=1e-12)
    assert beta(method, {}) == pytest.approx(worst, rel=1e-12)
    assert by(METHODS[method]).worst("sensor") == pytest.approx(worst, rel=1e-12)


def test_below_its_pass_mark_iso_13849_takes_the_worst_beta_of_the_plants_method() -> None:
    """That the larger of the two takes the place of no value is a house rule.

    ISO 13849-1 Annex F: 2 % from 65 of 100 points on (read). IEC 61508-6:2010 Table D.4: at worst 10 % for sensors and 5 % for
    logic (closure).
    """
    points = {name: row["met"] for name, row in METHODS["iso13849-1"].points().items()}
    assert sum(points.values()) == 100
    grades, score = {}, 0.0
    for name, row in sorted(points.items(), key=lambda each: -each[1]):
        expected = 0.02 if score >= 65 else 0.1
        assert beta("iso13849-1", grades) == expected
        grades[name], score = "met", score + row
    assert beta("iso13849-1", grades) == 0.02
    assert beta("iso13849-1", {}, "logic") == 0.05
    assert NO_VALUE in by(METHODS["iso13849-1"]).house_rules
    assert NO_VALUE not in by(METHODS["iec62061-2005"]).house_rules


@given(st.sampled_from(list(METHODS)), st.sampled_from(PARTS), st.data())
def test_an_answer_never_makes_an_open_question_worse(method: str, part: Part, data: st.DataObject) -> None:
    """House rule: an open question counts at its worst grade."""
    points = METHODS[method].points()
    names = data.draw(st.lists(st.sampled_from(list(points)), unique=True))
    grades = {name: data.draw(st.sampled_from(list(points[name]))) for name in names}
    further = data.draw(st.sampled_from(list(points)))
    without = {name: grade for name, grade in grades.items() if name != further}
    with_it = {**without, further: data.draw(st.sampled_from(list(points[further])))}
    assert 0.0 < beta(method, with_it, part) <= beta(method, without, part) <= by(METHODS[method]).worst(part)


def test_the_worked_lines_name_what_is_a_house_rule() -> None:
    first, *open_lines = by(METHODS["iso13849-1"]).worked(Claims("sensor", (), 0.0, None, {}))
    assert "below 65" in first
    assert all("house rule" in line for line in open_lines)
    assert any("10 %" in line or "0.1" in line for line in open_lines)


def test_a_questionnaire_with_points_asks_nothing_of_its_own() -> None:
    assert asked_by(AnnexD()) is None
    assert asked_by(by(METHODS["upm-1996"])) is METHODS["upm-1996"]


def test_every_method_is_offered_for_the_parts_that_it_is_made_for() -> None:
    for part in PARTS:
        assert set(registry.betas_of_part(part)) == {"iec61508-6-2010", *METHODS}
