"""Beta methods with questions of their own: a better grade never raises beta, and nothing takes the place of an answer."""

from __future__ import annotations

import re
from math import nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.limits import OutOfRange
from scoring.method import AskedBeta, NotAnswered
from scoring.methods.registry import ASKED_BETA

METHODS = list(ASKED_BETA.editions().values())


@st.composite
def graded(draw: st.DrawFn) -> tuple[AskedBeta, dict[str, str]]:
    """A method with a grade for each of its questions."""
    method = draw(st.sampled_from(METHODS))
    return method, {name: draw(st.sampled_from(list(row))) for name, row in method.points().items()}


@given(graded(), st.data())
def test_a_better_grade_never_raises_beta(answered: tuple[AskedBeta, dict[str, str]], data: st.DataObject) -> None:
    method, grades = answered
    question = data.draw(st.sampled_from(list(grades)))
    listed = list(method.points()[question])
    better = data.draw(st.sampled_from(listed[listed.index(grades[question]) :]))
    before, after = method.beta(grades), method.beta({**grades, question: better})
    assert before is None or (after is not None and after <= before)


@given(graded())
def test_every_beta_lies_between_the_ends_that_the_method_states(answered: tuple[AskedBeta, dict[str, str]]) -> None:
    method, grades = answered
    beta, (best, worst) = method.beta(grades), method.ends
    assert 0.0 < best <= worst < 1.0
    assert beta is None or best * (1 - 1e-12) <= beta <= worst * (1 + 1e-12)


@given(graded())
def test_the_worked_equation_ends_in_the_beta_of_the_method(answered: tuple[AskedBeta, dict[str, str]]) -> None:
    method, grades = answered
    beta, (line,) = method.beta(grades), method.worked(grades)
    if beta is None:
        assert line.endswith("no beta is given")
    else:
        assert float(re.split(r"= ", line)[-1]) == pytest.approx(beta, rel=1e-3)


@given(graded(), st.data())
def test_an_unanswered_question_has_no_default(answered: tuple[AskedBeta, dict[str, str]], data: st.DataObject) -> None:
    method, grades = answered
    left_out = data.draw(st.sampled_from(list(grades)))
    with pytest.raises(NotAnswered, match=left_out):
        method.beta({name: grade for name, grade in grades.items() if name != left_out})


@pytest.mark.parametrize("method", METHODS, ids=lambda method: str(method.about.id))
@pytest.mark.parametrize("wrong", [nan, "level-z", "partly", "", None])
def test_a_grade_that_the_method_does_not_print_is_refused(method: AskedBeta, wrong: Any) -> None:
    grades: dict[str, Any] = {name: next(iter(row)) for name, row in method.points().items()}
    grades[next(iter(grades))] = wrong
    with pytest.raises(OutOfRange, match="must be one of"):
        method.beta(grades)


@pytest.mark.parametrize("method", METHODS, ids=lambda method: str(method.about.id))
def test_grades_are_listed_from_the_worst_to_the_best(method: AskedBeta) -> None:
    for row in method.points().values():
        values = list(row.values())
        sums = "divided" if values[0] > values[-1] else "scored"
        assert values == sorted(values, reverse=sums == "divided")
        assert len(set(values)) == len(values) >= 2
