"""The timeline beside Annex B: PFDavg or PFH of a function by both, how much they differ, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, lcm

import numpy as np

from checks.analysis.function_over_time import FunctionOverTime, GroupOverTime
from checks.assessment import redundancy_inputs, timed_groups
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.text.number_format import factor
from scoring.erosion import Cases
from scoring.timeline.time_grid import grid_of
from scoring.units import HOURS_PER_YEAR, Array, Hours

ALIKE = 1.02
"""Factor below which two methods are said to agree."""
LONGEST_MISSION: Hours = 876_000.0
"""Longest mission that is calculated: 100 years."""
MOST_DRAWN = 2_000
"""Most instants of tests that a curve is drawn with."""
SAMPLES = 800
"""Points of a curve besides its tests."""
BEFORE: Hours = 1e-3
"""How long before a test its curve has a point [h]."""
RUNS_HIGH = 0.1
"""lambda_DU x T above which Annex B runs high (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """Result of an entry or a function by both methods, PFDavg [-] or PFH [1/h], with common cause and with cyber scenario.

    ``timeline`` is None where the timeline has no form for the group.
    """

    id: str
    annex_b: tuple[float, float]
    timeline: tuple[float, float] | None

    @property
    def ratio(self) -> float | None:
        """Timeline over Annex B, with common cause; None without one of them."""
        return None if self.timeline is None else self.timeline[0] / self.annex_b[0]


@dataclass(frozen=True, slots=True)
class Curve:
    """A function over the mission: PFD or rate of failing [1/h] at ``hours``, and when channels of its groups are tested [h].

    ``together`` is the case with common cause as if the channels of each group were tested on one day; None where they are.
    ``whole``: it reaches to the end of the mission; else it is cut short, since the tests are very many.
    """

    hours: Array
    scored: Array
    adjusted: Array
    together: Array | None
    tests: dict[str, Array]
    whole: bool


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """A function by both methods, its entries, one sentence why they differ, and what the timeline takes from Annex B."""

    function: Opinion
    entries: tuple[Opinion, ...]
    why: str
    taken: tuple[str, ...]
    curve: Curve


def second_opinion(assessment: Assessment, key: str) -> SecondOpinion | None:
    """A function by both methods; None where the timeline has no form for any of its groups."""
    function = assessment.function(key)
    timed = FunctionOverTime(assessment, function, timed_groups.mission(assessment.plant))
    if not any(part.timed for entry in timed.entries for part in entry.parts):
        return None
    means, whole = timed.means()
    entries = tuple(
        Opinion(
            entry.id, _cases(entry.measured.cases), _pair(mean) if any(part.timed for part in parts.parts) else None
        )
        for entry, parts, mean in zip(function.entries, timed.entries, means, strict=True)
    )
    opinion, why = Opinion(key, _cases(function.cases), _pair(whole)), _why(assessment, function, float(whole[0]))
    taken = tuple(
        group.id
        for entry, parts in zip(function.entries, timed.entries, strict=True)
        for group, part in zip(entry.groups, parts.parts, strict=True)
        if part.timed is None
    )
    return SecondOpinion(opinion, entries, why, taken, _curve(assessment, function, timed))


def _curve(assessment: Assessment, function: FunctionResult, timed: FunctionOverTime) -> Curve:
    mission, tests = timed_groups.mission(assessment.plant), timed.tests()
    instants = np.unique(np.concatenate([np.zeros(1), *tests.values()]))
    end = mission
    if len(instants) > MOST_DRAWN:
        end, instants = float(instants[MOST_DRAWN]), instants[:MOST_DRAWN]
        tests = {group: at[at < end] for group, at in tests.items()}
    hours = np.unique(np.concatenate([instants, instants[1:] - BEFORE, np.linspace(0.0, end, SAMPLES)]))
    scored, adjusted = timed.at(hours)
    together = None
    if _apart(assessment, function):
        together = FunctionOverTime(assessment, function, mission, together=True).at(hours)[0]
    return Curve(hours, scored, adjusted, together, tests, whole=end == mission)


def _apart(assessment: Assessment, function: FunctionResult) -> list[str]:
    """Groups whose channels are tested at different times."""
    groups = {group.id: assessment.plant.groups[group.id] for group in function.groups if not group.stated}
    return [key for key, group in groups.items() if timed_groups.staggered(group)]


def of_group(assessment: Assessment, key: str) -> float | None:
    """PFDavg of one group with common cause by the timeline; None where it has no form for the group."""
    group, mission = assessment.group(key), timed_groups.mission(assessment.plant)
    part = GroupOverTime(assessment, group)
    return None if part.timed is None else float(part.mean_down(grid_of([part.timed], mission))[0])


def _cases(cases: Cases) -> tuple[float, float]:
    return cases.scored, cases.adjusted


def _pair(mean: Array) -> tuple[float, float]:
    return float(mean[0]), float(mean[1])


def _why(assessment: Assessment, function: FunctionResult, now: float) -> str:
    """The sentence on the difference: the effects of staggered tests and of a last interval that is cut short are computed."""
    plant, mission, causes = assessment.plant, timed_groups.mission(assessment.plant), []
    described = {group.id: plant.groups[group.id] for group in function.groups if not group.stated}
    apart = _apart(assessment, function)
    if apart:
        now, before = _scored(assessment, function, mission, together=True), now
        if not _alike(before / now):
            causes.append(
                f"channels of {', '.join(apart)} are tested at different times, which {_moves(before / now)} and is not seen by Annex B"
            )
    whole = _whole_intervals([test.interval_h for group in described.values() for test in group.all_tests], mission)
    if whole != mission:
        now, before = _scored(assessment, function, whole, together=True), now
        if not _alike(before / now):
            causes.append(
                f"a mission of {mission / HOURS_PER_YEAR:.3g} years ends within intervals of tests, which {_moves(before / now)}, where "
                "Annex B takes whole intervals"
            )
    remaining = now / function.cases.scored
    if not _alike(remaining):
        causes.append(f"{_remaining(assessment, function, remaining)} ({_moves(remaining)})")
    if not causes:
        return "Both methods agree within 2 per cent."
    sentence = "; ".join(causes)
    return f"{sentence[0].upper()}{sentence[1:]}."


def _whole_intervals(intervals: Sequence[Hours], mission: Hours) -> Hours:
    """The first time from the mission on at which every interval is over [h]; the mission where that takes too long."""
    every = lcm(*(round(interval) for interval in intervals))
    return mission if every > LONGEST_MISSION else ceil(mission / every) * every


def _scored(assessment: Assessment, function: FunctionResult, mission: Hours, *, together: bool) -> float:
    return float(FunctionOverTime(assessment, function, mission, together=together).means()[1][0])


def _moves(ratio: float) -> str:
    return (
        f"lowers the result by a factor {factor(1.0 / ratio)}"
        if ratio < 1.0
        else f"raises the result by a factor {factor(ratio)}"
    )


def _alike(ratio: float) -> bool:
    return 1.0 / ALIKE <= ratio <= ALIKE


def _remaining(assessment: Assessment, function: FunctionResult, ratio: float) -> str:
    plant = assessment.plant
    groups = [plant.groups[group.id] for group in function.groups if not group.stated]
    voted = [redundancy_inputs.voted(plant, group) for group in groups]
    highest = max(channel.rates.du * channel.upkeep.longest for group in voted for channel in group.channels)
    late = [group for group in voted for channel in group.channels if len(channel.upkeep.found) > 1]
    if ratio < 1.0 and highest > RUNS_HIGH:
        return f"lambda_DU x T reaches {highest:.2g}, where Annex B runs high"
    if ratio > 1.0 and late:
        return "failures that are found late coincide in all channels at the end of their interval, where Annex B multiplies averages"
    if ratio > 1.0:
        return "groups and channels tested on one day are at their worst on the same day, where Annex B multiplies averages"
    return (
        "Annex B adds up groups and the parts of each, where the timeline counts a time once at which several are down"
    )
