"""A function on the timeline at many points of its uncertain inputs, calculated in blocks of points."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.redundancy_inputs import voted
from checks.assessment.results import FunctionResult, GroupResult
from checks.timeline import timed_groups
from checks.timeline.timed_groups import Factors
from scoring.method import Measure
from scoring.timeline import function as timed
from scoring.units import Array, Fractions
from scoring.voting import Voting

AT_ONCE = 256
"""Points that are calculated at once."""
Betas = Mapping[tuple[str, Voting], tuple[Fractions, Fractions]]
"""Beta and beta_D by group and voting, each a number or one for each point."""


class SampledFunction:
    """A function with common cause; ``times`` is the number of times of its timeline, 0 for a function without."""

    def __init__(self, assessment: Assessment, function: FunctionResult) -> None:
        self._assessment, self._function = assessment, function
        self.times = over_time.times(assessment.plant, assessment.editions, function.groups)

    def results(self, factors: Factors, betas: Betas, count: int) -> Array:
        """PFDavg [-] or PFH [1/h] at each of so many points; ``factors`` multiply the rates of devices."""
        return np.concatenate([self._block(slice(at, at + AT_ONCE), factors, betas) for at in range(0, count, AT_ONCE)])

    def _block(self, block: slice, factors: Factors, betas: Betas) -> Array:
        here = {name: _cut(values, block) for name, values in factors.items()}
        entries = [
            timed.Entry(
                tuple(
                    self._part(group, here, *(_cut(each, block) for each in betas[group.id, group.voting]))
                    for group in entry.groups
                ),
                entry.beta or 0.0,
            )
            for entry in self._function.entries
        ]
        mission = timed_groups.mission(self._assessment.plant)
        return timed.Function(entries, mission, low=self._function.demand == "low").means()[1]

    def _part(self, group: GroupResult, factors: Factors, beta: Fractions, beta_d: Fractions) -> timed.Part:
        plant, editions = self._assessment.plant, self._assessment.editions
        if self._assessment.on_timeline(group.id):
            return over_time.part(
                over_time.input_of(plant, editions, group.id, group.voting, factors=factors), beta, beta_d
            )
        low = self._constant(group, "pfd", factors, beta, beta_d)
        return timed.Part(None, (low, self._constant(group, "pfh", factors, beta, beta_d)))

    def _constant(
        self, group: GroupResult, measure: Measure, factors: Factors, beta: Fractions, beta_d: Fractions
    ) -> Array:
        """A group by another method, or as stated: 0 for a measure that is not stated."""
        if group.stated:
            found = group.low if measure == "pfd" else group.high
            return np.full((1, 1), 0.0 if found is None else found.cases.scored)
        method = self._assessment.editions.redundancy_of(group.id)
        built = voted(self._assessment.plant, self._assessment.plant.groups[group.id], group.voting, factors=factors)
        split = method.result(measure, built, beta=beta, beta_d=beta_d)
        return np.atleast_2d(np.asarray(split.total + method.test_terms(measure, built).total))


def _cut(values: Fractions, block: slice) -> Fractions:
    return values[block] if isinstance(values, np.ndarray) else values
