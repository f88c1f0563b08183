"""The timeline beside Annex B: PFDavg or PFH of a function by both, how much they differ, and why."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np

from checks.analysis.function_over_time import FunctionOverTime, Shown, group_over_time
from checks.assessment import timed_groups
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.text.number_format import factor
from scoring.erosion import Cases
from scoring.timeline.function import BEFORE, Entry, Function
from scoring.timeline.instants import common_period
from scoring.units import HOURS_PER_YEAR, Array, Hours

ALIKE = 1.02
"""Factor below which two methods are said to agree."""
LONGEST_MISSION: Hours = 876_000.0
"""Longest mission that is calculated: 100 years."""
MOST_DRAWN = 2_000
"""Most instants of tests that a curve is drawn with."""
SAMPLES = 800
"""Points of a curve besides its tests."""
AS_ANNEX_B = Shown(together=True, throughout=True)
LOW = 1e-3
"""Factor by which failure rates are lowered to see whether their height makes the difference."""


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

    ``together`` is the case with common cause as if every test were first made after one interval; None where they are.
    ``whole``: it reaches to the end of the mission; else it is cut short, since the tests are very many.
    """

    hours: Array
    scored: Array
    adjusted: Array
    together: Array | None
    tests: dict[str, Array]
    whole: bool


@dataclass(frozen=True, slots=True)
class Peak:
    """The highest PFD or rate of failing [1/h] of a function over its mission, and when [h]; not while a group is in test."""

    scored: float
    adjusted: float
    scored_at: Hours
    adjusted_at: Hours


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """A function by both methods, its entries, one sentence why they differ, and what the timeline takes from Annex B."""

    function: Opinion
    entries: tuple[Opinion, ...]
    why: str
    taken: tuple[str, ...]
    curve: Curve
    peak: Peak
    in_test: bool
    """Whether a group is out of service while it is tested."""


def second_opinion(assessment: Assessment, key: str) -> SecondOpinion | None:
    """A function by both methods; None where the timeline has no form for any of its groups."""
    function = assessment.function(key)
    timed = FunctionOverTime(assessment, function, timed_groups.mission(assessment.plant))
    if not any(part.group for entry in timed.entries for part in entry.parts):
        return None
    means, whole = timed.means()
    entries = tuple(
        Opinion(
            entry.id, _cases(entry.measured.cases), _pair(mean) if any(part.group for part in parts.parts) else None
        )
        for entry, parts, mean in zip(function.entries, timed.entries, means, strict=True)
    )
    opinion = Opinion(key, _cases(function.cases), _pair(whole))
    why = _why(assessment, function, timed, float(whole[0]))
    taken = tuple(
        group.id
        for entry, parts in zip(function.entries, timed.entries, strict=True)
        for group, part in zip(entry.groups, parts.parts, strict=True)
        if part.group is None
    )
    (scored, adjusted), (scored_at, adjusted_at) = (values.tolist() for values in timed.peak())
    peak = Peak(scored, adjusted, scored_at, adjusted_at)
    return SecondOpinion(opinion, entries, why, taken, _curve(assessment, function, timed), peak, timed.is_in_test)


def _curve(assessment: Assessment, function: FunctionResult, timed: FunctionOverTime) -> Curve:
    mission, tests = timed_groups.mission(assessment.plant), timed.tests()
    instants = np.unique(np.concatenate([np.zeros(1), *tests.values()]))
    end, edges = mission, timed.edges(mission)
    if len(instants) > MOST_DRAWN:
        end, instants = float(instants[MOST_DRAWN]), instants[:MOST_DRAWN]
        tests = {group: at[at < end] for group, at in tests.items()}
    jumps = np.concatenate([instants[1:], edges[edges <= end]])
    hours = np.unique(np.concatenate([instants[:1], jumps, jumps - BEFORE, np.linspace(0.0, end, SAMPLES)]))
    scored, adjusted = timed.at(hours).T
    together = None
    if any(timed_groups.has_offsets(assessment.plant.groups[group.id]) for group in function.groups):
        together = FunctionOverTime(assessment, function, mission, Shown(together=True)).at(hours)[:, 0]
    return Curve(hours, scored, adjusted, together, tests, whole=end == mission)


def of_group(assessment: Assessment, key: str) -> float | None:
    """PFDavg of one group with common cause by the timeline; None where it has no form for the group."""
    part = group_over_time(assessment, assessment.group(key))
    if part.group is None:
        return None
    means, _ = Function([Entry((part,))], timed_groups.mission(assessment.plant), low=True).means()
    return float(means[0][0])


def _cases(cases: Cases) -> tuple[float, float]:
    return cases.scored, cases.adjusted


def _pair(mean: Array) -> tuple[float, float]:
    return float(mean[0]), float(mean[1])


def _why(assessment: Assessment, function: FunctionResult, timed: FunctionOverTime, now: float) -> str:
    """The sentence on the difference. Each cause is calculated: the function is evaluated without it, one after the other."""
    plant, mission, causes = assessment.plant, timed_groups.mission(assessment.plant), []
    groups = {group.id: plant.groups[group.id] for group in function.groups if not group.stated}
    own = [key for key, group in groups.items() if any(test.error or test.duration_h for test in group.tests)]
    if own:
        now, before = _scored(assessment, function, mission, Shown(throughout=True)), now
        causes += _begin_late(own, before / now)
    offset = [key for key, group in groups.items() if timed_groups.has_offsets(group)]
    if offset:
        now, before = _scored(assessment, function, mission), now
        if not _alike(before / now):
            causes.append(f"the times of the tests of {', '.join(offset)} {_move(before / now)}; Annex B ignores them")
    whole = _whole_intervals(timed, mission)
    if whole != mission:
        now, before = _scored(assessment, function, whole), now
        if not _alike(before / now):
            causes.append(
                f"a mission of {mission / HOURS_PER_YEAR:.3g} years ends within intervals of tests, which {_moves(before / now)}; "
                "Annex B takes whole intervals"
            )
    remaining = now / function.cases.scored
    if not _alike(remaining):
        slow = _at_low_rates(assessment, function, whole)
        if not _alike(remaining / slow):
            causes.append(f"rates times intervals are high, which {_moves(remaining / slow)}; Annex B is for low ones")
        if not _alike(slow):
            causes.append(
                f"how failures of several channels coincide over time {_move(slow)}; Annex B multiplies averages"
            )
    if not causes:
        return "Both methods agree within 2 %."
    return " ".join(f"{cause[0].upper()}{cause[1:]}." for cause in causes)


def _begin_late(groups: list[str], ratio: float) -> list[str]:
    """The cause that time in test and test errors of groups begin with their first test, where it moves the result."""
    if _alike(ratio):
        return []
    what = f"test errors and time in test of {', '.join(groups)} begin with the first test, which {_moves(ratio)}"
    return [f"{what}; Annex B counts them from the start"]


def _at_low_rates(assessment: Assessment, function: FunctionResult, mission: Hours) -> float:
    """Timeline over Annex B where all failure rates of the plant are lower by ``LOW``, with the same betas."""
    plant = assessment.plant
    rates = ("lambda_du_fit", "lambda_dd_fit", "lambda_s_fit", "lambda_sd_fit")
    devices = {
        key: device.model_copy(update={name: (getattr(device, name) or 0.0) * LOW for name in rates})
        for key, device in plant.devices.items()
    }
    low = Assessment(plant.model_copy(update={"devices": devices}), assessment.answers, editions=assessment.editions)
    slow = low.function(function.id)
    return _scored(low, slow, mission) / slow.cases.scored


def _whole_intervals(timed: FunctionOverTime, mission: Hours) -> Hours:
    """The first time from the mission on at which every interval is over [h].

    The mission itself where that takes too long, or where a rest is found by no test: it would grow meanwhile.
    """
    every = common_period(timed.rhythms(), LONGEST_MISSION)
    return mission if every is None else ceil(mission / every - 1e-9) * every


def _scored(assessment: Assessment, function: FunctionResult, mission: Hours, tests: Shown = AS_ANNEX_B) -> float:
    """PFDavg [-] or PFH [1/h] with common cause, with the tests as Annex B counts them."""
    return float(FunctionOverTime(assessment, function, mission, tests).means()[1][0])


def _moves(ratio: float) -> str:
    return (
        f"lowers the result by a factor {factor(1.0 / ratio)}"
        if ratio < 1.0
        else f"raises the result by a factor {factor(ratio)}"
    )


def _move(ratio: float) -> str:
    """The same for a subject in the plural, or a clause."""
    return _moves(ratio).replace("lowers", "lower").replace("raises", "raise")


def _alike(ratio: float) -> bool:
    return 1.0 / ALIKE <= ratio <= ALIKE
