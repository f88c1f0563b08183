"""1oo2D after IEC 61508-6:2010 B.3.2.2.4 and B.3.3.2.4."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.equipment import Channel, Rates, Upkeep, VotedGroup
from scoring.redundancy.annex_b_edition_2 import AnnexB2
from scoring.voting import Voting

VOTING = Voting(1, 2, diagnostic=True)
rates = st.builds(Rates, st.floats(1e-9, 1e-6), st.floats(0.0, 1e-6), st.floats(0.0, 1e-6))
share = st.floats(0.0, 1.0)


def _upkeep(interval: float, repair: float) -> Upkeep:
    return Upkeep.proof_test(interval=interval, coverage=1.0, full_interval=interval, mrt=repair, mttr=repair)


def _group(channel: Channel, switch: float) -> VotedGroup:
    return VotedGroup(VOTING, (channel, channel), acts_on_detected=True, switch=switch)


def test_the_equation_with_its_numbers_put_in_one_after_the_other() -> None:
    """IEC 61508-6:2010 B.3.2.2.4, from memory: lambda_DU 2.5e-7, DD 2.25e-6, SD 2.25e-6, T1 8760 h, 8 h, beta 2 %, K 0.98."""
    channel = Channel(Rates(2.5e-7, 2.25e-6, 2.25e-6), _upkeep(8760.0, 8.0))
    t_ce = (2.5e-7 * (4380.0 + 8.0) + 4.5e-6 * 8.0) / 4.75e-6
    t_ge = 2920.0 + 8.0
    both = 2.0 * 0.98 * 2.5e-7 * (0.98 * 2.5e-7 + 0.99 * 2.25e-6 + 2.25e-6)
    switch, common = 2.0 * 0.02 * 2.25e-6, 0.02 * 2.5e-7
    pfd = AnnexB2().result("pfd", _group(channel, 0.98), beta=0.02, beta_d=0.01)
    assert pfd.independent == pytest.approx(both * t_ce * t_ge + switch * t_ce)
    assert pfd.shared == pytest.approx(common * 4388.0)
    pfh = AnnexB2().result("pfh", _group(channel, 0.98), beta=0.02, beta_d=0.01)
    assert pfh.independent == pytest.approx(both * t_ce + switch)
    assert pfh.shared == pytest.approx(common)


@given(rates=rates, beta=share, switch=share)
def test_a_better_switch_is_never_worse(rates: Rates, beta: float, switch: float) -> None:
    channel = Channel(rates, _upkeep(8760.0, 8.0))
    better, worse = (
        AnnexB2().result("pfd", _group(channel, value), beta=beta, beta_d=beta).total
        for value in (max(switch, 0.5), min(switch, 0.5))
    )
    assert better <= worse


@given(du=st.floats(1e-9, 1e-6), beta=share)
def test_without_diagnostics_it_is_a_1oo2_group(du: float, beta: float) -> None:
    """With lambda_DD = lambda_SD = 0 both forms give 2 ((1-beta) lambda_DU)^2 t_CE t_GE + beta lambda_DU (T1/2 + MRT)."""
    channel = Channel(Rates(du, 0.0), _upkeep(8760.0, 8.0))
    group = _group(channel, 0.9)
    plain = replace(group, voting=Voting(1, 2), switch=None)
    diagnostic, voted = (AnnexB2().result("pfd", each, beta=beta, beta_d=beta).total for each in (group, plain))
    assert diagnostic == pytest.approx(voted, rel=1e-12)


def test_its_worked_equations_end_in_the_parts_of_the_result() -> None:
    group = _group(Channel(Rates(2.5e-7, 2.25e-6, 2.25e-6), _upkeep(8760.0, 8.0)), 0.98)
    split = AnnexB2().result("pfd", group, beta=0.02, beta_d=0.01)
    worked = " ".join(AnnexB2().worked("pfd", group, beta=0.02, beta_d=0.01))
    assert f"= {float(split.independent):.4g}" in worked
    assert f"= {float(split.shared):.4g}" in worked
