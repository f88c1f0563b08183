"""From a function of the plant to the function over time of the timeline, with common cause and with the cyber scenario."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from checks.assessment.assessment import Assessment
from checks.assessment.results import Entry, FunctionResult, GroupResult, Measured
from checks.timeline import timed_groups
from scoring.timeline import function as timed
from scoring.timeline.group import Group as TimedGroup
from scoring.units import Array, Hours

CASES = ("scored", "adjusted")


@dataclass(frozen=True, slots=True)
class Shown:
    """What of the tests is on the clock. ``together``: as if all channels of a group were first tested after one interval.

    ``throughout``: time in test and test errors count from the start of the mission on, as in Annex B; not of alternatives.
    """

    together: bool = False
    throughout: bool = False


ON_THE_CLOCK = Shown()


def group_over_time(
    assessment: Assessment, group: GroupResult, tests: Shown = ON_THE_CLOCK, *, constant: bool = False
) -> timed.Part:
    """A group over time; a ``constant`` as the assessment has it, and where its result is stated."""
    described = assessment.plant.groups[group.id]
    return timed.Part(
        None if constant or group.stated else _timed(assessment, group, tests),
        (_constant(group.low), _constant(group.high)),
        not described.acts_on_detected,
    )


def _timed(assessment: Assessment, group: GroupResult, tests: Shown) -> TimedGroup:
    betas, pairs = group.betas, [(0.0, 0.0), (0.0, 0.0)]
    if betas is not None:
        pairs = [(betas.beta, betas.beta_d), (betas.beta_adjusted, betas.beta_d_adjusted)]
    beta, beta_d = np.array(pairs).T
    described = assessment.plant.groups[group.id]
    plant = assessment.plant
    moon_factor = assessment.editions.moon_factor_of(plant, described)
    result = timed_groups.timed(plant, described, group.voting, moon_factor=moon_factor, together=tests.together)
    result = replace(result, beta=beta, beta_d=beta_d)
    return replace(result, in_test=(), errors=()) if tests.throughout else result


def _terms(group: GroupResult) -> timed.Entry:
    """Time in test and test errors of a group as Annex B counts them."""
    low, high = (np.full((1, 2), found.terms.total if found else 0.0) for found in (group.low, group.high))
    return timed.Entry((timed.Part(None, (low, high)),))


def _constant(measured: Measured | None) -> Array:
    return np.array([[getattr(measured.cases, case) for case in CASES]]) if measured else np.zeros((1, 2))


class FunctionOverTime(timed.Function):
    """A function over a mission [h]; columns are the two cases. ``constant`` are groups taken as the assessment has them."""

    def __init__(
        self,
        assessment: Assessment,
        function: FunctionResult,
        mission: Hours,
        tests: Shown = ON_THE_CLOCK,
        constant: Collection[str] = (),
    ) -> None:
        def entry(listed: Entry) -> timed.Entry:
            of_parts = tests if len(listed.groups) == 1 else replace(tests, throughout=False)
            parts = tuple(
                group_over_time(assessment, group, of_parts, constant=group.id in constant) for group in listed.groups
            )
            return timed.Entry(parts, listed.beta or 0.0)

        entries = list(map(entry, function.entries))
        if tests.throughout:
            alone = [listed.groups[0] for listed in function.entries if len(listed.groups) == 1]
            entries += [_terms(group) for group in alone if not group.stated and group.id not in constant]
        super().__init__(entries, mission, low=function.demand == "low")
        self._ids = [group.id for group in function.groups]

    def tests(self) -> dict[str, Array]:
        """Instants [h] at which a channel of each group is tested, by group."""
        parts = [part for entry in self.entries for part in entry.parts]
        return {
            key: np.unique(np.concatenate([rhythm.until(self.mission) for rhythm in tested]))
            for key, part in zip(self._ids, parts, strict=False)
            if part.group is not None and (tested := [rhythm for rhythm in part.group.rhythms() if rhythm])
        }
