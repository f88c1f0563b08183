"""Uncertainty of a result with common cause: its 5/50/95 % band, the probability of missing the target, and what it rests on.

The cyber scenario has no band: it is a scenario for setting priorities, and no distribution of its inputs is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from checks.analysis import uncertain_inputs
from checks.analysis.uncertain_inputs import Input
from checks.assessment.assessment import Assessment
from checks.assessment.redundancy_inputs import voted
from checks.assessment.results import Entry, FunctionResult, GroupResult
from scoring import alternatives
from scoring.method import About, Measure, RedundancyMethod
from scoring.methods import registry
from scoring.uncertainty import band, points, shares
from scoring.uncertainty.band import Band
from scoring.uncertainty.method import POWER, SEED
from scoring.units import Array, Fractions

METHOD = "annex-b"
"""The redundancy method whose equations take samples."""


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
    """Uncertainty of a function from 2^power points; None where no input is uncertain."""
    function = assessment.function(key)
    sample = _Sample(assessment, function.groups, power, seed)
    if not sample.inputs:
        return None
    results = np.zeros(2**power)
    for entry in function.entries:
        results = results + sample.entry(function.measure, entry)
    return sample.judged(function.id, function.measure, results, function)


def of_group(
    assessment: Assessment, key: str, measure: Measure, *, power: int = POWER, seed: int = SEED
) -> Uncertainty | None:
    """Uncertainty of one group, alone; None where no input is uncertain, or its result is stated."""
    group = assessment.group(key)
    sample = _Sample(assessment, [group], power, seed)
    if not sample.inputs:
        return None
    return sample.judged(key, measure, sample.group(measure, group) + np.zeros(2**power), None)


class _Sample:
    """The inputs of some groups at the points of a sequence, and the results there."""

    def __init__(self, assessment: Assessment, groups: Sequence[GroupResult], power: int, seed: int) -> None:
        self._assessment, self._groups, self._power, self._seed = assessment, groups, power, seed
        self.inputs = uncertain_inputs.of_groups(assessment.plant, groups)
        if self.inputs:
            self._points = points.sobol(len(self.inputs), power=power, seed=seed)
            drawn = list(zip(self.inputs, self._points, strict=True))
            self._factors = {found.key: found.distribution.at(at) for found, at in drawn if found.kind == "rates"}
            self._betas = {found.key: at for found, at in drawn if found.kind == "beta"}

    @property
    def _method(self) -> RedundancyMethod:
        """Annex B, in the edition of the plant where that is its method."""
        own = self._assessment.editions.redundancy
        return own if own.about.id == METHOD else registry.REDUNDANCY.latest(METHOD)

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
        plant, method = self._assessment.plant, self._method
        built = voted(plant, plant.groups[group.id], group.voting, factors=self._factors)
        beta, beta_d = _betas(group, self._betas)
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
            fixed=tuple(dict.fromkeys(uncertain_inputs.fixed(self._groups))),
            samples=2**self._power,
            seed=self._seed,
            method=self._method.about,
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
