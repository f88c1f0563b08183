"""Impact vectors: weights, mapping to a smaller group, sums."""

from __future__ import annotations

from itertools import combinations
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.field_data import impact_vectors
from scoring.limits import OutOfRange

group = st.integers(2, 6).flatmap(lambda size: st.tuples(st.integers(1, size), st.just(size)))


@given(group)
def test_a_weight_of_one_counts_the_event_and_a_weight_of_zero_its_channels_apart(sizes: tuple[int, int]) -> None:
    failed, size = sizes
    shared = impact_vectors.impact_vector(failed=failed, size=size, weight=1.0)
    apart = impact_vectors.impact_vector(failed=failed, size=size, weight=0.0)
    assert shared == tuple(float(number == failed) for number in range(1, size + 1))
    assert apart == (float(failed), *[0.0] * (size - 1))


@given(group, st.floats(0.0, 1.0))
def test_the_failed_channels_are_the_same_whatever_the_weight(sizes: tuple[int, int], weight: float) -> None:
    failed, size = sizes
    counts = impact_vectors.impact_vector(failed=failed, size=size, weight=weight)
    assert sum(number * count for number, count in enumerate(counts, start=1)) == pytest.approx(failed)


@given(group, st.data())
def test_a_smaller_group_is_one_drawn_out_of_the_channels(sizes: tuple[int, int], data: st.DataObject) -> None:
    """Every subset of the channels, counted one by one."""
    failed, size = sizes
    kept = data.draw(st.integers(1, size))
    event = impact_vectors.impact_vector(failed=failed, size=size)
    subsets = list(combinations(range(size), kept))
    hit = [sum(channel < failed for channel in subset) for subset in subsets]
    expected = tuple(hit.count(number) / len(subsets) for number in range(1, kept + 1))
    assert impact_vectors.mapped_down(event, size=kept) == pytest.approx(expected)


def test_a_larger_group_is_refused_for_the_rule_needs_a_judgement() -> None:
    with pytest.raises(OutOfRange, match="1 to 2 channels only"):
        impact_vectors.mapped_down((1.0, 0.0), size=3)


@pytest.mark.parametrize(
    ("fields", "name"),
    [
        ({"failed": 3, "size": 2}, "failed"),
        ({"failed": 0, "size": 2}, "failed"),
        ({"failed": 1, "size": 0}, "size"),
        ({"failed": 2, "size": 2, "weight": nan}, "weight"),
        ({"failed": 2, "size": 2, "weight": 1.1}, "weight"),
    ],
)
def test_what_no_event_can_be_is_refused(fields: dict[str, float], name: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        impact_vectors.impact_vector(**fields)  # type: ignore[arg-type]
    assert refused.value.name == name


def test_vectors_of_different_groups_are_added_only_once_mapped() -> None:
    assert impact_vectors.total([(1.0, 0.0), (0.0, 1.0)], size=2) == (1.0, 1.0)
    assert impact_vectors.total([], size=2) == (0.0, 0.0)
    with pytest.raises(OutOfRange, match="map it first"):
        impact_vectors.total([(1.0, 0.0, 0.0)], size=2)
