"""Invariants of exposure and of the beta that it raises (house rule)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.exposure import CLASS_VALUE, FIELD_PARTS, closed, concerns, exposure, raised
from scoring.limits import OutOfRange
from tests.scoring import draws

topics = st.tuples(st.sampled_from(sorted(CLASS_VALUE)), st.sampled_from([0.0, 0.5, 1.0]))
unmet_topics = st.lists(topics, max_size=60)
betas = st.floats(0.0, 1.0)
caps = st.sampled_from([0.05, 0.10])

# Products of up to 60 factors are rounded up to 60 times; exposure itself is between 0 and 1.
ROUNDING = 1e-12


@given(unmet=unmet_topics)
def test_exposure_is_a_fraction_and_nothing_unmet_is_none(unmet: list[tuple[int, float]]) -> None:
    assert 0.0 <= exposure(unmet) < 1.0
    assert exposure([(weight, 0.0) for weight, _ in unmet]) == 0.0


@given(unmet=unmet_topics, more=topics)
def test_one_more_unmet_topic_never_lowers_exposure(unmet: list[tuple[int, float]], more: tuple[int, float]) -> None:
    assert exposure([*unmet, more]) >= exposure(unmet)


@given(pair=unmet_topics.flatmap(lambda unmet: st.tuples(st.just(unmet), st.permutations(unmet))))
def test_exposure_does_not_depend_on_the_order(pair: tuple[list[tuple[int, float]], list[tuple[int, float]]]) -> None:
    drawn, permuted = pair
    assert exposure(drawn) == pytest.approx(exposure(permuted), abs=ROUNDING)


@given(unmet=unmet_topics)
def test_closing_every_topic_one_by_one_brings_exposure_to_zero(unmet: list[tuple[int, float]]) -> None:
    g = exposure(unmet)
    for weight, share in unmet:
        after = float(closed(g, weight, share))
        assert after <= g + ROUNDING
        g = after
    assert g == pytest.approx(0.0, abs=ROUNDING)


@given(unmet=unmet_topics, last=topics)
def test_closing_a_topic_is_the_same_as_never_having_had_it(
    unmet: list[tuple[int, float]], last: tuple[int, float]
) -> None:
    assert closed(exposure([*unmet, last]), *last) == pytest.approx(exposure(unmet), abs=ROUNDING)


@given(beta_int=betas, g=draws.fractions, cap=caps)
def test_exposure_only_ever_raises_beta(beta_int: float, g: float, cap: float) -> None:
    assert beta_int <= raised(beta_int, g, cap=cap) <= max(cap, beta_int)


@given(beta_int=st.floats(1e-4, 1.0), first=draws.fractions, second=draws.fractions, cap=caps)
def test_more_exposure_never_lowers_beta(beta_int: float, first: float, second: float, cap: float) -> None:
    low, high = sorted((first, second))
    assert raised(beta_int, low, cap=cap) <= raised(beta_int, high, cap=cap) * (1.0 + ROUNDING)


@given(beta_int=betas, cap=caps)
def test_no_exposure_leaves_beta_and_full_exposure_takes_the_worst_class(beta_int: float, cap: float) -> None:
    assert raised(beta_int, 0.0, cap=cap) == beta_int
    assert raised(beta_int, 1.0, cap=cap) == max(cap, beta_int)


@given(beta_int=st.floats(0.1, 1.0), g=draws.fractions)
def test_a_beta_at_or_above_the_cap_stays(beta_int: float, g: float) -> None:
    assert raised(beta_int, g, cap=0.10) == beta_int


@given(beta_int=betas, many=st.lists(draws.fractions, min_size=1, max_size=8), cap=caps)
def test_an_array_of_exposures_equals_the_scalars_one_by_one(beta_int: float, many: list[float], cap: float) -> None:
    together = raised(beta_int, np.array(many), cap=cap)
    # Powers of arrays and of numbers come from different routines and may differ in the last bit.
    assert together == pytest.approx([float(raised(beta_int, g, cap=cap)) for g in many], rel=ROUNDING)


@pytest.mark.parametrize("g", [float("nan"), -1e-9, 1.0 + 1e-9])
def test_an_exposure_that_is_no_fraction_is_refused_by_name(g: float) -> None:
    with pytest.raises(OutOfRange, match=r"^exposure is "):
        raised(0.02, g, cap=0.05)


@pytest.mark.parametrize("share", [float("nan"), -0.5, 1.5])
def test_an_unmet_share_that_is_no_fraction_is_refused_by_name(share: float) -> None:
    with pytest.raises(OutOfRange, match=r"^unmet share is "):
        exposure([(3, 1.0), (2, share)])


@pytest.mark.parametrize("part", sorted(FIELD_PARTS))
def test_a_topic_concerns_the_parts_it_names_or_every_part_if_it_names_none(part: str) -> None:
    assert concerns(frozenset({part, "ews"}), part)
    assert concerns(frozenset({"network", "people"}), part)
    assert not concerns(FIELD_PARTS - {part}, part)


def test_the_value_of_a_topic_is_fixed_by_its_weight() -> None:
    # House rule: three classes, so that results can be compared from outside.
    assert {weight: exposure([(weight, 1.0)]) for weight in CLASS_VALUE} == pytest.approx({3: 0.15, 2: 0.05, 1: 0.015})
