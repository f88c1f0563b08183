"""A function over time against closed forms: groups at the same moment, alternatives, the peak, and constants beside them."""

from __future__ import annotations

from math import exp, expm1

import numpy as np
import pytest

from scoring.timeline.function import Entry, Function, Part
from scoring.timeline.group import Group, InTest
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.scoring.timeline.given import YEAR, one_device

RATE = 1e-5
X = RATE * YEAR
MISSION = 10 * YEAR
ZERO = np.zeros((1, 1))


def _part(offset: float = 0.0, *windows: InTest) -> Part:
    """One channel without repair, tested every year."""
    return Part(
        Group(Voting(1, 1), (one_device(RATE, offset=offset),), 0.0, 0.0, 0.0, 0.0, in_test=windows), (ZERO, ZERO)
    )


def _mean(*entries: Entry, low: bool = True) -> float:
    return float(Function(entries, MISSION, low=low).means()[1][0])


def test_two_groups_tested_on_one_day_are_one_of_twice_the_rate() -> None:
    """1 - (1 - p)^2 with p = 1 - exp(-lambda t) is 1 - exp(-2 lambda t); its mean over an interval (derived)."""
    mean = _mean(Entry((_part(),)), Entry((_part(),)))
    assert mean == pytest.approx(1.0 + expm1(-2.0 * X) / (2.0 * X), rel=1e-9)


def test_alternatives_tested_on_one_day_fail_together_more_often_than_their_means_say() -> None:
    """Mean of p^2 over an interval: 1 + 2 (e^-x - 1)/x + (1 - e^-2x)/(2x) (derived)."""
    mean = _mean(Entry((_part(), _part())))
    assert mean == pytest.approx(1.0 + 2.0 * expm1(-X) / X - expm1(-2.0 * X) / (2.0 * X), rel=1e-9)


def test_what_alternatives_share_is_added_once() -> None:
    one = _mean(Entry((_part(),)))
    product = _mean(Entry((_part(), _part())))
    mean = _mean(Entry((_part(), _part()), beta=0.1))
    assert mean == pytest.approx(product + 0.1 * one - product * 0.1 * one, rel=1e-12)


def test_a_constant_is_beside_what_is_calculated() -> None:
    constant = Part(None, (np.array([[1e-3]]), np.array([[2e-7]])))
    one = _mean(Entry((_part(),)))
    assert _mean(Entry((_part(),)), Entry((constant,))) == pytest.approx(one + 1e-3 - one * 1e-3, rel=1e-12)
    assert _mean(Entry((constant,)), low=False) == pytest.approx(2e-7, rel=1e-12)


def test_a_function_fails_at_the_rate_of_its_groups_while_all_others_are_sound() -> None:
    """Two like groups: 2 lambda exp(-2 lambda t), mean over an interval (1 - exp(-2x))/T (derived)."""
    mean = _mean(Entry((_part(),)), Entry((_part(),)), low=False)
    assert mean == pytest.approx(-expm1(-2.0 * X) / YEAR, rel=1e-9)


def test_the_peak_is_just_before_the_first_test_and_not_in_test() -> None:
    window = InTest(Rhythm(YEAR), 8.0, None)
    values, at = Function([Entry((_part(0.0, window),))], MISSION, low=True).peak()
    assert float(values[0]) == pytest.approx(1.0 - exp(-X), rel=1e-6)
    assert float(at[0]) == pytest.approx(YEAR, abs=0.01)
