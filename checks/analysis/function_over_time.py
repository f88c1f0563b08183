"""From a function of the plant to the function over time of the timeline, with common cause and with the cyber scenario."""

from __future__ import annotations

import numpy as np

from checks.assessment import timed_groups
from checks.assessment.assessment import Assessment
from checks.assessment.results import Entry, FunctionResult, GroupResult, Measured
from scoring.timeline import function as timed
from scoring.timeline.group import Group as TimedGroup
from scoring.units import Array, Hours

CASES = ("scored", "adjusted")


def group_over_time(assessment: Assessment, group: GroupResult, *, together: bool = False) -> timed.Part:
    """A group over time with the terms of its tests; a constant where its result is stated or the timeline has no form."""
    described = assessment.plant.groups[group.id]
    low, high = (found.terms.total if found else 0.0 for found in (group.low, group.high))
    return timed.Part(
        None if group.stated or group.voting.diagnostic else _timed(assessment, group, together=together),
        (_constant(group.low), _constant(group.high)),
        (low, high),
        not described.acts_on_detected,
    )


def _timed(assessment: Assessment, group: GroupResult, *, together: bool) -> TimedGroup:
    betas, pairs = group.betas, [(0.0, 0.0), (0.0, 0.0)]
    if betas is not None:
        pairs = [(betas.beta, betas.beta_d), (betas.beta_adjusted, betas.beta_d_adjusted)]
    beta, beta_d = np.array(pairs).T
    described = assessment.plant.groups[group.id]
    return timed_groups.timed(assessment.plant, described, group.voting, beta, beta_d, together=together)


def _constant(measured: Measured | None) -> Array:
    return np.array([[getattr(measured.cases, case) for case in CASES]]) if measured else np.zeros((1, 2))


class FunctionOverTime(timed.Function):
    """A function over a mission [h]; columns are the two cases.

    ``together``: as if all channels of a group were tested on the same days.
    """

    def __init__(
        self, assessment: Assessment, function: FunctionResult, mission: Hours, *, together: bool = False
    ) -> None:
        def entry(listed: Entry) -> timed.Entry:
            parts = tuple(group_over_time(assessment, group, together=together) for group in listed.groups)
            return timed.Entry(parts, listed.beta or 0.0)

        super().__init__(list(map(entry, function.entries)), mission, low=function.demand == "low")
        self._ids = [group.id for listed in function.entries for group in listed.groups]

    def tests(self) -> dict[str, Array]:
        """Instants [h] at which a channel of each group is tested, by group."""
        parts = [part for entry in self.entries for part in entry.parts]
        return {
            key: np.unique(np.concatenate([rhythm.until(self.mission) for rhythm in tested]))
            for key, part in zip(self._ids, parts, strict=True)
            if part.group is not None and (tested := [rhythm for rhythm in part.group.rhythms() if rhythm])
        }
