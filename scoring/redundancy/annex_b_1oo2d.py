"""PFDavg and PFH of a 1oo2D group: two channels whose diagnostics switch a faulty channel off (annex-b, edition 2)."""

from __future__ import annotations

from scoring.equipment import Split, VotedGroup
from scoring.method import Measure
from scoring.numbers import put_in
from scoring.units import Fraction, Fractions


def down_time(group: VotedGroup) -> Fractions:
    """t_CE, the mean down time of one channel [h]; a safe detected failure counts too, for it leaves the other channel alone."""
    channel = group.channels[0]
    rates, upkeep = channel.rates, channel.upkeep
    undetected = rates.du * upkeep.undetected_down(2)
    return (undetected + (rates.dd + rates.sd) * upkeep.mttr) / (rates.du + rates.dd + rates.sd)


def result(measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
    """PFDavg [-] or PFH [1/h] of a 1oo2D group with like channels; K is the efficiency of the switch.

    - t_CE = (lambda_DU (T1/2 + MRT) + (lambda_DD + lambda_SD) MTTR) / (lambda_DU + lambda_DD + lambda_SD), t_GE = T1/3 + MRT
    - PFDavg = 2 (1-beta) lambda_DU ((1-beta) lambda_DU + (1-beta_D) lambda_DD + lambda_SD) t_CE t_GE
      + 2 (1-K) lambda_DD t_CE + beta lambda_DU (T1/2 + MRT)
    - PFH = 2 (1-beta) lambda_DU ((1-beta) lambda_DU + (1-beta_D) lambda_DD + lambda_SD) t_CE + 2 (1-K) lambda_DD
      + beta lambda_DU

    The term of the switch is in the independent part: it does not depend on beta. With several tests T1/2 + MRT and T1/3 + MRT
    are their weighted means.

    Source: IEC 61508-6:2010, B.3.2.2.4 and B.3.3.2.4 (from memory).
    """
    channel, switch = group.channels[0], group.switch
    assert switch is not None  # noqa: S101  (VotedGroup ensures it)
    rates, upkeep, t_ce = channel.rates, channel.upkeep, down_time(group)
    first = 2.0 * (1.0 - beta) * rates.du
    second = (1.0 - beta) * rates.du + (1.0 - beta_d) * rates.dd + rates.sd
    if measure == "pfd":
        independent = first * second * t_ce * upkeep.undetected_down(3) + 2.0 * (1.0 - switch) * rates.dd * t_ce
        return Split(independent, beta * channel.undetected(2))
    return Split(first * second * t_ce + 2.0 * (1.0 - switch) * rates.dd, beta * rates.du)


def worked(measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
    """The equations with the numbers of one group put in."""
    rates, split = group.channels[0].rates, result(measure, group, beta=beta, beta_d=beta_d)
    t_ge = group.channels[0].upkeep.undetected_down(3)
    unit = "" if measure == "pfd" else "/h"
    return (
        f"t_CE = {put_in(down_time(group))} h, t_GE = {put_in(t_ge)} h, K = {put_in(group.switch or 0.0)}",
        f"lambda_DU = {put_in(rates.du)}, lambda_DD = {put_in(rates.dd)}, lambda_SD = {put_in(rates.sd)}/h",
        f"independent, with the term of the switch = {put_in(float(split.independent))}{unit}",
        f"common cause = {put_in(float(split.shared))}{unit}",
    )
