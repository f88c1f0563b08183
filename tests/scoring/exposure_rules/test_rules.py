"""Invariants of all exposure rules, and tests of each rule."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring import common_cause, exposure
from scoring.beta.iec61508_6_2010 import AnnexD
from scoring.exposure_rules.credits import Credits
from scoring.exposure_rules.graded import Graded
from scoring.exposure_rules.to_single import ToSingle, raised
from scoring.method import Claims, Exposed, ExposureRule, Unmet
from scoring.methods.registry import EXPOSURE
from tests.scoring import draws

RULES = list(EXPOSURE.editions().values())


def exposed(
    *,
    beta_int: float = 0.02,
    factor: float = 1.5,
    g: float = 0.4,
    claims: Claims | None = None,
    topics: tuple[Unmet, ...] = (),
) -> Exposed:
    return Exposed("sensor", AnnexD(), claims, beta_int, beta_int / 2.0, factor, g, topics)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.about.name)
@given(beta_int=draws.fractions, factor=st.floats(0.1, 4.5), g=draws.fractions)
def test_exposure_only_ever_raises_beta(rule: ExposureRule, beta_int: float, factor: float, g: float) -> None:
    group = exposed(beta_int=beta_int, factor=factor, g=g)
    for own, adjusted in zip((group.beta_int, group.beta_d_int), rule.adjusted(group), strict=True):
        assert min(1.0, factor * own) * (1.0 - 1e-12) <= adjusted <= 1.0


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.about.name)
@given(beta_int=draws.fractions, factor=st.floats(0.1, 4.5))
def test_without_exposure_nothing_changes(rule: ExposureRule, beta_int: float, factor: float) -> None:
    group = exposed(beta_int=beta_int, factor=factor, g=0.0)
    assert rule.adjusted(group)[0] == pytest.approx(min(1.0, factor * beta_int), rel=1e-12)


@given(beta=draws.fractions)
def test_full_exposure_leaves_a_single_channel(beta: float) -> None:
    assert raised(beta, 1.0) == 1.0


@given(beta=st.floats(1e-6, 1.0), g=draws.fractions)
def test_to_single_takes_the_exposed_part_of_the_decades(beta: float, g: float) -> None:
    """An exposure of 40 % takes 40 % of the decades between beta and 1. Source: the definition of the house rule."""
    from math import log10  # noqa: PLC0415  (used in the next line only)

    assert log10(raised(beta, g)) == pytest.approx((1.0 - g) * log10(beta), abs=1e-9)


def test_to_single_has_no_cap_where_graded_has_one() -> None:
    """A group with the worst class already: graded hides its exposure, to-single shows it."""
    worst = common_cause.worst_beta("sensor")
    group = exposed(beta_int=worst, factor=1.0, g=0.5)
    assert Graded().adjusted(group)[0] == pytest.approx(worst)
    assert ToSingle().adjusted(group)[0] == pytest.approx(worst**0.5)


def test_graded_is_the_formula_of_the_first_release() -> None:
    group = exposed(beta_int=0.02, factor=1.5, g=0.3)
    assert Graded().adjusted(group)[0] == 1.5 * float(exposure.raised(0.02, 0.3, cap=0.10))


def test_credits_reads_beta_from_the_score_without_the_undermined_rows() -> None:
    """Ten points less take the group from the band of 70 points to the next (Table D.4, from memory)."""
    rows = common_cause.rows("sensor")
    claimed = set(rows)
    claims = Claims("sensor", claimed, 0.0, None)
    own = AnnexD().estimate(claims)
    dropped = ("SEP1", "TST1", "DIV3", "CPX1", "ENV2")
    group = Exposed("sensor", AnnexD(), claims, own.beta, own.beta_d, 1.0, 0.4, (Unmet("Z01", 3, 1.0, dropped),))
    expected = AnnexD().estimate(replace(claims, claimed=claimed - set(dropped)))
    assert expected.beta > own.beta, "the rows must matter for the test to say anything"
    assert Credits().adjusted(group) == (expected.beta, expected.beta_d)
    met = replace(group, topics=(Unmet("Z01", 3, 0.0, dropped),))
    assert Credits().adjusted(met) == (own.beta, own.beta_d)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.about.name)
def test_the_worked_rule_ends_in_its_beta(rule: ExposureRule) -> None:
    claims = Claims("sensor", {"SEP1", "TST1"}, 0.0, None)
    lines = rule.worked(exposed(claims=claims))
    assert lines
    if rule.about.id in ("graded", "to-single"):
        assert lines[-1].endswith(f"= {rule.adjusted(exposed(claims=claims))[0]:.4g}")
