"""PFDavg and PFH of a voted group (IEC 61508-6:2010 Annex B, generalised to MooN), edition 1: the method ``annex-b``.

A beta may be a number or an array; the result has the same shape, so a curve against beta is one call.
Signed records of releases 1 and 2 use this edition, so it does not change. Edition 2 corrects it in three places.
"""

from __future__ import annotations

from math import factorial

from scoring.equipment import Channel, Rates, Split, Upkeep, VotedGroup
from scoring.limits import within
from scoring.method import About, Measure
from scoring.numbers import put_in
from scoring.testing import NO_TERMS, Terms
from scoring.units import Fraction, Fractions
from scoring.voting import SINGLE, Voting


def independent_rate(rates: Rates, beta: Fractions, beta_d: Fractions) -> Fractions:
    """lam, the rate of independent dangerous failures of one channel [1/h]."""
    return (1.0 - beta_d) * rates.dd + (1.0 - beta) * rates.du


def check_betas(beta: Fractions, beta_d: Fractions) -> None:
    """Raise OutOfRange for a beta outside 0 to 1."""
    within("beta", beta, 0.0, 1.0)
    within("beta_D", beta_d, 0.0, 1.0)


def pfd(*, voting: Voting, rates: Rates, upkeep: Upkeep, beta: Fractions = 0.0, beta_d: Fractions = 0.0) -> Split:
    """Average probability of failure on demand of a MooN group.

    k = N - M + 1 failures defeat the group. With lam = (1 - beta_D) lambda_DD + (1 - beta) lambda_DU:
    independent N!/(M-1)! prod_{i=1..k} lam t_i; common cause beta_D lambda_DD MTTR + beta lambda_DU t_shared.
    With N = M every failure counts, N lambda_D t_1, and there is no common-cause part.

    Parameters
    ----------
    beta, beta_d
        Common-cause fraction of undetected and of detected failures, MooN factor included; number or array.

    Examples
    --------
    IEC 61508-6:2010 Table B.3 neighbourhood, 1oo2, lambda_D 5e-6/h, DC 0, beta 10 %, T1 1 year, MTTR = MRT = 8 h:

    >>> year = Upkeep.proof_test(interval=8760, coverage=1.0, full_interval=8760, mrt=8, mttr=8)
    >>> f"{pfd(voting=Voting(1, 2), rates=Rates(5e-6, 0.0), upkeep=year, beta=0.1).total:.1e}"
    '2.7e-03'

    Source: IEC 61508-6:2010, B.3.2.2 and B.3.2.5 (from memory; checked against recalled table values).
    """
    check_betas(beta, beta_d)
    if not voting.redundant:
        return Split(voting.n * rates.d * Channel(rates, upkeep).down_time(1) + 0.0 * beta, 0.0 * beta)
    lam = independent_rate(rates, beta, beta_d)
    independent: Fractions = float(factorial(voting.n) // factorial(voting.m - 1))
    for i in range(1, voting.tolerance + 2):
        independent = independent * (lam * Channel(rates, upkeep).down_time(i))
    return Split(independent, beta_d * rates.dd * upkeep.mttr + beta * rates.du * upkeep.undetected_down(2))


def pfh(*, voting: Voting, rates: Rates, upkeep: Upkeep, beta: Fractions = 0.0, beta_d: Fractions = 0.0) -> Split:
    """Average frequency of dangerous failure [1/h] of a MooN group that trips the process on a detected failure.

    N = M: N lambda_DU. Else independent N!/(M-1)! (1 - beta) lambda_DU prod_{i=1..k-1} lam t_i, common cause beta lambda_DU.

    Published work finds the 2010 forms incomplete, so the edition is named beside every result.

    >>> year = Upkeep.proof_test(interval=8760, coverage=1.0, full_interval=8760, mrt=0, mttr=0)
    >>> f"{pfh(voting=Voting(1, 2), rates=Rates(1e-6, 0.0), upkeep=year, beta=0.1).total:.5e}"
    '1.07096e-07'

    Source: IEC 61508-6:2010, B.3.3.2 (from memory; the example is the general approximation in Rausand 2014, ch. 9).
    """
    check_betas(beta, beta_d)
    if not voting.redundant:
        return Split(voting.n * rates.du + 0.0 * beta, 0.0 * beta)
    lam = independent_rate(rates, beta, beta_d)
    independent = factorial(voting.n) // factorial(voting.m - 1) * ((1.0 - beta) * rates.du)
    for i in range(1, voting.tolerance + 1):
        independent = independent * (lam * Channel(rates, upkeep).down_time(i))
    return Split(independent, beta * rates.du)


def single(measure: str, *, rates: Rates, upkeep: Upkeep) -> float:
    """The same measure ("pfd" or "pfh") for one channel."""
    return float({"pfd": pfd, "pfh": pfh}[measure](voting=SINGLE, rates=rates, upkeep=upkeep).total)


def outside_range(rates: Rates, upkeep: Upkeep) -> bool:
    """Whether lambda_D T1 exceeds 0.1, above which the equations overestimate (common practice, no source)."""
    return bool(rates.d * upkeep.found[0].interval > 0.1)


def worked_down_times(measure: Measure, voting: Voting, channel: Channel) -> list[str]:
    """t_i of one channel with its numbers put in, for every failure whose duration counts."""
    last = voting.tolerance + 1 if measure == "pfd" else voting.tolerance
    return [_worked_down_time(channel.rates, channel.upkeep, i) for i in range(1, max(1, last) + 1)]


def _worked_down_time(rates: Rates, upkeep: Upkeep, i: int) -> str:
    return (
        f"t_{i} = ({put_in(rates.du)}/{put_in(rates.d)}) x [{_undetected_terms(upkeep, i + 1)}] + "
        f"({put_in(rates.dd)}/{put_in(rates.d)}) x {put_in(upkeep.mttr)} = {put_in(Channel(rates, upkeep).down_time(i))} h"
    )


def _undetected_terms(upkeep: Upkeep, order: int) -> str:
    """Mean down time of an undetected failure with its numbers put in: share x (T/order + MRT) of each test."""
    return " + ".join(
        f"{put_in(found.share)} x ({found.interval:g}/{order} + {upkeep.mrt:g})"
        if found.by_test
        else f"{put_in(found.share)} x {found.interval:g}/{order}"
        for found in upkeep.found
        if found.share > 0.0
    )


def worked_independent(
    measure: Measure, voting: Voting, rates: Rates, upkeep: Upkeep, *, beta: Fraction, beta_d: Fraction
) -> str:
    """The independent part of like channels with its numbers put in."""
    if not voting.redundant:
        channel = (
            f"{put_in(rates.d)} x {put_in(Channel(rates, upkeep).down_time(1))}"
            if measure == "pfd"
            else put_in(rates.du)
        )
        return f"independent = {voting.n} x {channel}"
    lam, failures = put_in(float(independent_rate(rates, beta, beta_d))), voting.tolerance + 1
    downs = range(1, failures + 1 if measure == "pfd" else failures)
    terms = [f"({lam} x {put_in(Channel(rates, upkeep).down_time(i))})" for i in downs]
    last = [] if measure == "pfd" else [f"{put_in(1.0 - beta)} x {put_in(rates.du)}"]
    return " x ".join([f"independent = {factorial(voting.n) // factorial(voting.m - 1)}", *last, *terms])


def worked_shared(rates: Rates, upkeep: Upkeep, *, beta: Fraction, beta_d: Fraction) -> str:
    """The common-cause part of the PFDavg with its numbers put in."""
    shared = beta_d * rates.dd * upkeep.mttr + beta * rates.du * upkeep.undetected_down(2)
    return (
        f"common cause = {put_in(beta_d)} x {put_in(rates.dd)} x {put_in(upkeep.mttr)} + {put_in(beta)} x {put_in(rates.du)} "
        f"x [{_undetected_terms(upkeep, 2)}] = {put_in(shared)}"
    )


class AnnexB1:
    """``annex-b`` edition 1. Channels that differ are replaced by their geometric mean; every detected failure trips."""

    about = About(
        id="annex-b",
        edition=1,
        label="IEC 61508-6:2010 Annex B, generalised to MooN, edition 1",
        source="IEC 61508-6:2010, B.3.2 and B.3.3",
        confidence="memory",
        valid="lambda_D x T1 up to 0.1; like channels, tested together; PFH where a detected failure trips the process",
        formula=(
            "t_i = (lambda_DU/lambda_D) x [PTC (T1/(i+1) + MRT) + (1-PTC) (T2/(i+1) + MRT)] + (lambda_DD/lambda_D) x MTTR",
            "lam = (1-beta_D) lambda_DD + (1-beta) lambda_DU, k = N-M+1",
            "independent = N!/(M-1)! x product over i = 1..k of (lam x t_i); N = M: N x lambda_D x t_1",
            "common cause = beta_D x lambda_DD x MTTR + beta x lambda_DU x [PTC (T1/2 + MRT) + (1-PTC) (T2/2 + MRT)]",
            "PFH = N!/(M-1)! x (1-beta) lambda_DU x product over i = 1..k-1 of (lam x t_i) + beta x lambda_DU; N = M: N x lambda_DU",
        ),
    )

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:
        """PFDavg [-] or PFH [1/h] of a group."""
        equation = pfd if measure == "pfd" else pfh
        mean = group.mean
        return equation(voting=group.voting, rates=mean.rates, upkeep=mean.upkeep, beta=beta, beta_d=beta_d)

    def test_terms(self, measure: Measure, group: VotedGroup) -> Terms:  # noqa: ARG002  (plants of format 1 state no such tests)
        """No terms: edition 1 knows neither time in test nor test errors."""
        return NO_TERMS

    def remarks(self, group: VotedGroup) -> tuple[str, ...]:
        """Remarks on a group outside the range of validity, or with diverse channels."""
        remarks = []
        if outside_range(group.mean.rates, group.mean.upkeep):
            remarks.append("dangerous rate times test interval exceeds 0.1, outside the range of the equations")
        elif group.mean.rates.d * group.mean.upkeep.longest > 0.1:
            remarks.append("dangerous rate times overhaul interval exceeds 0.1, outside the range of the equations")
        if group.mean.rates.dd * group.mean.upkeep.mttr > 0.1:
            remarks.append("detected dangerous rate times MTTR exceeds 0.1, outside the range of the equations")
        if group.diverse:
            remarks.append("diverse channels; their rates are replaced by the geometric mean (approximation)")
        return tuple(remarks)

    def worked(self, measure: Measure, group: VotedGroup, *, beta: Fraction, beta_d: Fraction) -> tuple[str, ...]:
        """The equations with the numbers of one group put in."""
        rates, upkeep = group.mean.rates, group.mean.upkeep
        split = self.result(measure, group, beta=beta, beta_d=beta_d)
        lam = put_in(float(independent_rate(rates, beta, beta_d)))
        independent = worked_independent(measure, group.voting, rates, upkeep, beta=beta, beta_d=beta_d)
        shared = f"common cause = {put_in(beta)} x {put_in(rates.du)} = {put_in(float(split.shared))}/h"
        if measure == "pfd":
            shared = worked_shared(rates, upkeep, beta=beta, beta_d=beta_d)
        return (
            *worked_down_times(measure, group.voting, group.mean),
            f"lam = {put_in(1.0 - beta_d)} x {put_in(rates.dd)} + {put_in(1.0 - beta)} x {put_in(rates.du)} = {lam}/h",
            f"{independent} = {put_in(float(split.independent))}",
            shared,
        )
