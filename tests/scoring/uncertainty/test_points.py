"""Scrambled Sobol points: the same for a seed, and one in each equal interval of every coordinate."""

from __future__ import annotations

import numpy as np
import pytest

from scoring.limits import OutOfRange
from scoring.uncertainty import points


def test_the_same_seed_gives_the_same_points_and_another_seed_others() -> None:
    first, again, other = (points.sobol(5, power=8, seed=seed) for seed in (3, 3, 4))
    assert np.array_equal(first, again)
    assert not np.any(first == other)


@pytest.mark.parametrize("power", [1, 7, 13])
def test_each_interval_of_every_coordinate_holds_one_point(power: int) -> None:
    """A Sobol sequence is a (t, s)-sequence in base 2, so each coordinate alone is stratified (Sobol 1967)."""
    drawn = points.sobol(12, power=power, seed=9)
    assert drawn.shape == (12, 2**power)
    assert np.all((drawn > 0.0) & (drawn < 1.0))
    for coordinate in drawn:
        assert sorted((coordinate * 2**power).astype(int)) == list(range(2**power))


@pytest.mark.parametrize("power", [0, 21])
def test_a_power_out_of_range_is_refused(power: int) -> None:
    with pytest.raises(OutOfRange):
        points.sobol(1, power=power, seed=1)
