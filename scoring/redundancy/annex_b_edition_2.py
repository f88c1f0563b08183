"""PFDavg and PFH of a voted group after IEC 61508-6:2010 Annex B, edition 2: the method ``annex-b`` of format 2.

It corrects edition 1 in three places and gives the same digits everywhere else:

- diverse channels are combined failure by failure (ordered tuples), not replaced by their mean;
- the PFH counts detected failures where they are not acted on;
- the range of validity is judged by lambda_DU x T of each test.
"""

from __future__ import annotations

from math import factorial, prod

import numpy as np

from scoring.equipment import Rates, Split, VotedGroup
from scoring.method import About, Measure
from scoring.numbers import put_in, total
from scoring.redundancy import annex_b_1oo2d, annex_b_edition_1
from scoring.redundancy.annex_b_edition_1 import (
    check_betas,
    independent_rate,
    worked_down_times,
    worked_independent,
    worked_shared,
)
from scoring.testing import Terms, pfd_terms, pfh_terms
from scoring.units import Fraction, Fractions

RANGE_LIMIT = 0.1
"""lambda_DU x T above which the equations overestimate (common practice, no source)."""


def _ordered(terms: list[list[Fractions]]) -> Fractions:
    """Sum, over ordered tuples of distinct channels, of the product of ``terms[i][channel]`` for the i-th failure.

    Accumulated over sets of failed channels: N = 8 takes 256 sets instead of 40,320 tuples.
    """
    channels = range(len(terms[0]))
    sums: dict[int, Fractions] = {0: 1.0}
    for of_channel in terms:
        next_sums: dict[int, Fractions] = {}
        for failed, weight in sums.items():
            for channel in channels:
                if not failed >> channel & 1:
                    key = failed | 1 << channel
                    next_sums[key] = next_sums.get(key, 0.0) + weight * of_channel[channel]
        sums = next_sums
    summed: Fractions = 0.0
    for weight in sums.values():
        summed = summed + weight
    return summed


def _diverse(measure: Measure, group: VotedGroup, beta: Fractions, beta_d: Fractions) -> Fractions:
    """Independent part of a group with diverse channels."""
    failures = group.voting.tolerance + 1
    lam = [independent_rate(channel.rates, beta, beta_d) for channel in group.channels]
    down = [[channel.down_time(i) for channel in group.channels] for i in range(1, failures + 1)]
    terms = [[rate * time for rate, time in zip(lam, times, strict=True)] for times in down]
    if measure == "pfh":
        terms[-1] = [_last_rate(group, channel.rates, beta, beta_d) for channel in group.channels]
    return _ordered(terms)


def _last_rate(group: VotedGroup, rates: Rates, beta: Fractions, beta_d: Fractions) -> Fractions:
    """Rate of the failure that defeats the group [1/h]: a detected failure does so only if it is not acted on."""
    return (1.0 - beta) * rates.du if group.acts_on_detected else independent_rate(rates, beta, beta_d)


def _undetected_mean(group: VotedGroup) -> Fractions:
    """Geometric mean, over the channels, of lambda_DU times the mean down time of an undetected failure [-]."""
    return prod(channel.undetected(2) for channel in group.channels) ** (1.0 / len(group.channels))


def _without_redundancy(measure: Measure, group: VotedGroup) -> Fractions:
    """N = M: each failure of each channel counts."""
    if measure == "pfd":
        return total(channel.rates.d * channel.down_time(1) for channel in group.channels)
    rates = [channel.rates for channel in group.channels]
    return total(channel.du if group.acts_on_detected else channel.d for channel in rates)


def result(measure: Measure, group: VotedGroup, *, beta: Fractions = 0.0, beta_d: Fractions = 0.0) -> Split:
    """PFDavg [-] or PFH [1/h] of a MooN group, k = N - M + 1 failures defeat it.

    With lam_j = (1 - beta_D) lambda_DD,j + (1 - beta) lambda_DU,j of channel j, and t_i,j the mean time that an i-th failure
    lasts if it is of channel j:

    - PFDavg: sum over ordered k-tuples of distinct channels of prod_{i=1..k} lam_j(i) t_i,j(i), plus the common-cause part
      beta_D lambda_DD MTTR + beta lambda_DU t_shared of the geometric mean of the channels (approximation);
    - PFH: the same with the rate of the last failure in place of its lam t: that rate is (1 - beta) lambda_DU where detected
      failures are acted on, else lam; the common-cause part is beta lambda_DU, else beta lambda_DU + beta_D lambda_DD.

    >>> from scoring.equipment import Channel, Upkeep
    >>> from scoring.voting import SINGLE
    >>> year = Upkeep.proof_test(interval=8760, coverage=1.0, full_interval=8760, mrt=0, mttr=24)
    >>> alarm_only = VotedGroup(SINGLE, (Channel(Rates(1e-7, 4e-7), year),), acts_on_detected=False)
    >>> f"{result('pfh', alarm_only).total:.1e}"
    '5.0e-07'

    Source: IEC 61508-6:2010, B.3.2.2, B.3.2.5 and B.3.3.2 (from memory); the sum over tuples and the PFH without action on
    detected failures are derived from the same model. Several tests: what each finds, weighted (derived).
    """
    check_betas(beta, beta_d)
    if group.voting.diagnostic:
        return annex_b_1oo2d.result(measure, group, beta=beta, beta_d=beta_d)
    if not group.voting.redundant:
        return Split(_without_redundancy(measure, group) + 0.0 * beta, 0.0 * beta)
    mean, equation = group.mean, annex_b_edition_1.pfd if measure == "pfd" else annex_b_edition_1.pfh
    alike = equation(voting=group.voting, rates=mean.rates, upkeep=mean.upkeep, beta=beta, beta_d=beta_d)
    shared = alike.shared
    if measure == "pfd" and any(channel.upkeep != mean.upkeep for channel in group.channels):
        shared = beta_d * mean.rates.dd * mean.upkeep.mttr + beta * _undetected_mean(group)
    if measure == "pfh" and not group.acts_on_detected:
        shared = shared + beta_d * mean.rates.dd
    if group.diverse or (measure == "pfh" and not group.acts_on_detected):
        return Split(_diverse(measure, group, beta, beta_d), shared)
    return Split(alike.independent, shared)


class AnnexB2:
    """``annex-b`` edition 2."""

    about = About(
        id="annex-b",
        edition=2,
        label="IEC 61508-6:2010 Annex B, generalised to MooN, edition 2",
        source="IEC 61508-6:2010, B.3.2 and B.3.3; diverse channels and PFH without action on detected failures derived",
        confidence="memory",
        valid="lambda_DU x T of each test up to 0.1; channels tested together; common-cause part of diverse channels approximate",
        formula=(
            (
                "t_i,j = (lambda_DU/lambda_D) x [PTC (T1/(i+1) + MRT) + (1-PTC) (T2/(i+1) + MRT)] + (lambda_DD/lambda_D) x MTTR of "
                "channel j"
            ),
            "lam_j = (1-beta_D) lambda_DD + (1-beta) lambda_DU of channel j, k = N-M+1",
            (
                "independent = sum over ordered k-tuples of channels of the product over i = 1..k of (lam_j(i) x t_i,j(i)); for like "
                "channels N!/(M-1)! x product of (lam x t_i); N = M: sum of lambda_D x t_1"
            ),
            (
                "common cause = beta_D x lambda_DD x MTTR + beta x lambda_DU x [PTC (T1/2 + MRT) + (1-PTC) (T2/2 + MRT)] of the "
                "geometric mean of the channels"
            ),
            (
                "several tests and devices in series: PTC (T1/i + MRT) becomes the sum over tests of f_j (T_j/i + MRT), f_j the share of "
                "lambda_DU that test j is the first to find; the rest f counts with f x mission time/i"
            ),
            (
                "1oo2D: t_CE = (lambda_DU (T1/2 + MRT) + (lambda_DD + lambda_SD) MTTR)/(lambda_DU + lambda_DD + lambda_SD); PFD = 2 "
                "(1-beta) lambda_DU ((1-beta) lambda_DU + (1-beta_D) lambda_DD + lambda_SD) t_CE (T1/3 + MRT) + 2 (1-K) lambda_DD t_CE "
                "+ beta lambda_DU (T1/2 + MRT)"
            ),
            "beside both parts, in all cases: time in test = sum of duration/interval, test error = sum of its chances",
            (
                "PFH: the last failure counts with its rate, (1-beta) lambda_DU where detected failures are acted on, else lam; common "
                "cause = beta x lambda_DU, plus beta_D x lambda_DD where detected failures are not acted on"
            ),
        ),
    )

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
        """PFDavg [-] or PFH [1/h] of a group."""
        return result(measure, group, beta=beta, beta_d=beta_d)

    def remarks(self, group: VotedGroup) -> tuple[str, ...]:
        """Remarks on a group with lambda_DU x T of a test or overhaul or lambda_DD x MTTR above 0.1, or with diverse channels."""
        remarks = []
        highest = max(channel.rates.du * channel.upkeep.longest for channel in group.channels)
        if highest > RANGE_LIMIT:
            remarks.append(
                f"lambda_DU x T is {put_in(highest)}, above 0.1: outside the range of the equations, which then run high"
            )
        repaired = max(channel.rates.dd * channel.upkeep.mttr for channel in group.channels)
        if repaired > RANGE_LIMIT:
            remarks.append(
                f"lambda_DD x MTTR is {put_in(repaired)}, above 0.1: outside the range of the equations, which then run high"
            )
        if group.diverse and group.voting.redundant:
            remarks.append(
                "diverse channels; their common-cause part rests on the geometric mean of the rates (approximation)"
            )
        return tuple(remarks)

    @staticmethod
    def _independent(measure: Measure, group: VotedGroup, beta: Fraction, beta_d: Fraction) -> str:
        if group.diverse:
            return "independent = sum over the orders in which channels fail, of the products lam x t_i of each channel"
        first = group.channels[0]
        if measure == "pfh" and not group.acts_on_detected and group.voting.redundant:
            lam = put_in(float(np.asarray(independent_rate(first.rates, beta, beta_d))))
            orders = factorial(group.voting.n) // factorial(group.voting.m - 1)
            terms = [f"({lam} x {put_in(first.down_time(i))})" for i in range(1, group.voting.tolerance + 1)]
            return " x ".join([f"independent = {orders}", lam, *terms])
        return worked_independent(measure, group.voting, first.rates, first.upkeep, beta=beta, beta_d=beta_d)

    def test_terms(self, measure: Measure, group: VotedGroup) -> Terms:
        """Time in test and test errors of a group, as PFDavg [-] or PFH [1/h]."""
        return pfd_terms(group.tests) if measure == "pfd" else pfh_terms(group.tests)

    def worked(self, measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        if group.voting.diagnostic:
            return annex_b_1oo2d.worked(measure, group, beta=beta, beta_d=beta_d)
        mean, split = group.mean, result(measure, group, beta=beta, beta_d=beta_d)
        channels = group.channels if group.diverse else group.channels[:1]
        lines = [line for channel in channels for line in worked_down_times(measure, group.voting, channel)]
        for rates in (channel.rates for channel in channels):
            lam = float(np.asarray(independent_rate(rates, beta, beta_d)))
            lines.append(
                f"lam = {put_in(1.0 - beta_d)} x {put_in(rates.dd)} + {put_in(1.0 - beta)} x {put_in(rates.du)} = {put_in(lam)}/h"
            )
        lines.append(f"{self._independent(measure, group, beta, beta_d)} = {put_in(float(split.independent))}")
        if measure == "pfd":
            lines.append(worked_shared(mean.rates, mean.upkeep, beta=beta, beta_d=beta_d))
        else:
            detected = "" if group.acts_on_detected else f" + {put_in(beta_d)} x {put_in(mean.rates.dd)}"
            lines.append(
                f"common cause = {put_in(beta)} x {put_in(mean.rates.du)}{detected} = {put_in(float(split.shared))}/h"
            )
        return tuple(lines)
