"""Uncertainty of a result with common cause: its 5/50/95 % band, the probability of missing the target, and what it rests on.

The cyber scenario has no band: it is a scenario for setting priorities, and no distribution of its inputs is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from checks.analysis import uncertain_inputs
from checks.analysis.sampled_function import SampledFunction
from checks.analysis.uncertain_inputs import Input
from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.redundancy_inputs import voted_for
from checks.assessment.results import Entry, FunctionResult, GroupResult
from scoring import alternatives
from scoring.method import About, Measure
from scoring.uncertainty import band, points, shares
from scoring.uncertainty.band import Band
from scoring.uncertainty.method import POWER, SEED
from scoring.units import Array, Fractions

MOST_VALUES = 1_000_000
"""Times of the timeline, times points, above which fewer points are drawn."""
LEAST_POWER = 10
"""The fewest points that the timeline is drawn at, as a power of two, unless its times are more than ten thousand."""
MOST_AT_ALL = 10_000_000
"""Times of the timeline, times points, that are never exceeded."""


@dataclass(frozen=True, slots=True)
class Share:
    """Share of one input in the variance of ln(result), alone."""

    input: Input
    share: float


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """Uncertainty of a result with common cause, PFDavg [-] or PFH [1/h].

    ``misses`` is the probability of missing the target, None for a group. ``rests_on`` has the largest share first; ``rest`` is
    what no input explains alone. ``fixed`` is held at its value. ``method`` is the redundancy method, ``seed`` that of the points.
    """

    id: str
    measure: Measure
    band: Band
    misses: float | None
    rests_on: tuple[Share, ...]
    fixed: tuple[str, ...]
    samples: int
    seed: int
    method: About

    @property
    def rest(self) -> float:
        """Share that no input explains alone: interactions, and noise of the sample."""
        return max(0.0, 1.0 - sum(part.share for part in self.rests_on))

    @property
    def mostly(self) -> Share:
        """The input with the largest share."""
        return self.rests_on[0]


def of_function(assessment: Assessment, key: str, *, power: int = POWER, seed: int = SEED) -> Uncertainty | None:
    """Uncertainty of a function from 2^power points, fewer on a timeline of many times; None where no input is uncertain."""
    function = assessment.function(key)
    sampled = SampledFunction(assessment, function)
    sample = _Sample(assessment, function.groups, _fitting(power, sampled.times), seed, assessment.method_of(key))
    if not sample.inputs:
        return None
    if sampled.times:
        results = sampled.results(sample.factors, sample.betas, sample.count)
    else:
        results = np.zeros(sample.count)
        for entry in function.entries:
            results = results + sample.entry(function.measure, entry)
    return sample.judged(function.id, function.measure, results, function)


def _fitting(power: int, times: int) -> int:
    """The power of two of the number of points, where each is calculated at so many times."""
    wanted, most = ((values // max(1, times)).bit_length() - 1 for values in (MOST_VALUES, MOST_AT_ALL))
    return min(power, max(LEAST_POWER, wanted) if most >= LEAST_POWER else max(1, most))


def of_group(
    assessment: Assessment, key: str, measure: Measure, *, power: int = POWER, seed: int = SEED
) -> Uncertainty | None:
    """Uncertainty of one group, alone; None where no input is uncertain, or its result is stated."""
    group = assessment.group(key)
    times = over_time.times(assessment.plant, assessment.editions, [group])
    method = assessment.editions.redundancy_of(key).about
    sample = _Sample(assessment, [group], _fitting(power, times), seed, method)
    if not sample.inputs:
        return None
    return sample.judged(key, measure, sample.group(measure, group) + np.zeros(sample.count), None)


class _Sample:
    """The inputs of some groups at the points of a sequence, and the results there."""

    def __init__(
        self, assessment: Assessment, groups: Sequence[GroupResult], power: int, seed: int, method: About
    ) -> None:
        self._assessment, self._groups, self.count, self._seed = assessment, groups, 2**power, seed
        self._method = method
        self.inputs = uncertain_inputs.of_groups(assessment.plant, groups)
        if self.inputs:
            self._points = points.sobol(len(self.inputs), power=power, seed=seed)
            drawn = list(zip(self.inputs, self._points, strict=True))
            self.factors = {found.key: found.distribution.at(at) for found, at in drawn if found.kind == "rates"}
            betas = {found.key: at for found, at in drawn if found.kind == "beta"}
            self.betas = {(group.id, group.voting): _betas(group, betas) for group in groups}

    def entry(self, measure: Measure, entry: Entry) -> Fractions:
        """Results of an entry: one group, or alternatives."""
        if entry.beta is None:
            return self.group(measure, entry.groups[0])
        pfds = [self.group("pfd", group) for group in entry.groups]
        pfhs = [] if measure == "pfd" else [self.group("pfh", group) for group in entry.groups]
        return alternatives.result(measure, pfds, pfhs, beta=entry.beta).total

    def group(self, measure: Measure, group: GroupResult) -> Fractions:
        """Results of a group as it is voted, with common cause; its stated result as one number."""
        if group.stated:
            return group.measured(measure).cases.scored
        editions = self._assessment.editions
        method = editions.redundancy_of(group.id)
        built = voted_for(editions, self._assessment.plant, group.id, group.voting, factors=self.factors)
        beta, beta_d = self.betas[group.id, group.voting]
        split = method.result(measure, built, beta=beta, beta_d=beta_d)
        return split.total + method.test_terms(measure, built).total

    def judged(self, key: str, measure: Measure, results: Array, function: FunctionResult | None) -> Uncertainty:
        """What the results say."""
        logs = np.log(results)
        explained = shares.first_order(logs, self._points)
        parts = [Share(found, share) for found, share in zip(self.inputs, explained.tolist(), strict=True)]
        return Uncertainty(
            id=key,
            measure=measure,
            band=band.band(logs),
            misses=None if function is None else band.misses(logs, function.limit),
            rests_on=tuple(sorted(parts, key=lambda part: -part.share)),
            fixed=tuple(dict.fromkeys(uncertain_inputs.fixed(self._assessment.plant, self._groups))),
            samples=self.count,
            seed=self._seed,
            method=self._method,
        )


def _betas(group: GroupResult, drawn: Mapping[str, Array]) -> tuple[Fractions, Fractions]:
    """Beta and beta_D of a group as it is voted, at the points drawn for it; beta_D keeps its ratio to beta.

    Without a draw both are the present ones.
    """
    if group.betas is None:
        return 0.0, 0.0
    spread = uncertain_inputs.beta_of(group)
    if spread is None or group.id not in drawn:
        return group.betas.beta, group.betas.beta_d
    beta = spread.at(drawn[group.id])
    return beta, np.minimum(1.0, group.betas.beta_d / group.betas.beta * beta)
