"""Annex B and the timeline beside each other: PFDavg or PFH of a function by both, how much they differ, and why.

One of them carries the result, the other is the second opinion.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from checks.analysis.function_over_time import ON_THE_CLOCK, FunctionOverTime, Shown, group_over_time
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.text.number_format import factor
from checks.timeline import timed_groups
from scoring.erosion import Cases
from scoring.methods import registry
from scoring.timeline.function import BEFORE, Entry, Function
from scoring.timeline.instants import common_period
from scoring.units import HOURS_PER_YEAR, Array, Hours

ANNEX_B = "annex-b"
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

    Each is None where its method has no form for the group; ``timeline`` also where another method carries the group.
    """

    id: str
    annex_b: tuple[float, float] | None
    timeline: tuple[float, float] | None

    @property
    def ratio(self) -> float | None:
        """Timeline over Annex B, with common cause; None without one of them."""
        return None if self.timeline is None or self.annex_b is None else self.timeline[0] / self.annex_b[0]


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
    """A function by both methods, its entries, one sentence why they differ, and what the timeline takes as constants.

    ``carried``: the timeline carries the result of the function, and Annex B is the second opinion.
    """

    function: Opinion
    entries: tuple[Opinion, ...]
    why: str
    taken: tuple[str, ...]
    curve: Curve
    peak: Peak
    in_test: bool
    """Whether a group is out of service while it is tested."""
    carried: bool


@dataclass(frozen=True)
class _Compared:
    """A function by Annex B, with what of it is on the timeline: each group that it carries, or else every one it can."""

    assessment: Assessment
    function: FunctionResult
    constant: frozenset[str]
    carried: bool

    @classmethod
    def of(cls, assessment: Assessment, key: str) -> _Compared:
        """The function of an assessment."""
        groups = assessment.plant.functions[key].group_ids
        over = {name for name in groups if assessment.on_timeline(name)}
        by_annex_b = annex_b(assessment) if over else assessment
        constant = frozenset(groups) - over if over else frozenset[str]()
        return cls(by_annex_b, by_annex_b.function(key), constant, carried=bool(over))

    @property
    def mission(self) -> Hours:
        """The mission [h]."""
        return timed_groups.mission(self.assessment.plant)

    def over_time(self, mission: Hours | None = None, tests: Shown = ON_THE_CLOCK) -> FunctionOverTime:
        """The function over time."""
        return FunctionOverTime(self.assessment, self.function, mission or self.mission, tests, self.constant)

    def scored(self, mission: Hours, tests: Shown = AS_ANNEX_B) -> float:
        """PFDavg [-] or PFH [1/h] with common cause, with the tests as Annex B counts them."""
        return float(self.over_time(mission, tests).means()[1][0])

    @property
    def no_form(self) -> dict[str, str]:
        """Groups for which Annex B has no form, and why."""
        groups = self.assessment.plant.groups
        return {group.id: why for group in self.function.groups if (why := groups[group.id].beyond_annex_b)}


def annex_b(assessment: Assessment) -> Assessment:
    """The same plant and answers with every group by Annex B."""
    full = assessment.all_answers
    editions = full.editions.with_redundancy(registry.REDUNDANCY.latest(ANNEX_B))
    return Assessment(full.plant, full.answers, links=full.links, editions=editions)


def second_opinion(assessment: Assessment, key: str) -> SecondOpinion | None:
    """A function by both methods; None where the timeline has no form for any of its groups."""
    compared, result = _Compared.of(assessment, key), assessment.function(key)
    function, timed, no_form = compared.function, compared.over_time(), compared.no_form
    if not timed.groups:
        return None
    means, whole = timed.means()
    entries = tuple(
        Opinion(
            entry.id,
            None if any(group.id in no_form for group in entry.groups) else _cases(entry.measured.cases),
            _pair(mean) if any(part.group for part in parts.parts) else None,
        )
        for entry, parts, mean in zip(function.entries, timed.entries, means, strict=True)
    )
    by_timeline = _cases(result.cases) if compared.carried else _pair(whole)
    opinion = Opinion(key, None if no_form else _cases(function.cases), by_timeline)
    why = _without_form(no_form) if no_form else _why(compared, timed, float(whole[0]))
    taken = tuple(
        group.id
        for entry, parts in zip(function.entries, timed.entries, strict=True)
        for group, part in zip(entry.groups, parts.parts, strict=True)
        if part.group is None
    )
    (scored, adjusted), (scored_at, adjusted_at) = (values.tolist() for values in timed.peak())
    peak = Peak(scored, adjusted, scored_at, adjusted_at)
    curve = _curve(compared, timed)
    return SecondOpinion(opinion, entries, why, taken, curve, peak, timed.is_in_test, compared.carried)


def _without_form(groups: Mapping[str, str]) -> str:
    by_reason: dict[str, list[str]] = {}
    for key, why in groups.items():
        by_reason.setdefault(why, []).append(key)
    return " ".join(f"Annex B has no form for {', '.join(keys)}: {why}." for why, keys in by_reason.items())


def _curve(compared: _Compared, timed: FunctionOverTime) -> Curve:
    mission, tests = compared.mission, timed.tests()
    instants = np.unique(np.concatenate([np.zeros(1), *tests.values()]))
    end, edges = mission, timed.edges(mission)
    if len(instants) > MOST_DRAWN:
        end, instants = float(instants[MOST_DRAWN]), instants[:MOST_DRAWN]
        tests = {group: at[at < end] for group, at in tests.items()}
    jumps = np.concatenate([instants[1:], edges[edges <= end]])
    hours = np.unique(np.concatenate([instants[:1], jumps, jumps - BEFORE, np.linspace(0.0, end, SAMPLES)]))
    scored, adjusted = timed.at(hours).T
    together = None
    if any(timed_groups.has_offsets(compared.assessment.plant.groups[key]) for key in tests):
        together = compared.over_time(tests=Shown(together=True)).at(hours)[:, 0]
    return Curve(hours, scored, adjusted, together, tests, whole=end == mission)


def of_group(assessment: Assessment, key: str) -> float | None:
    """PFDavg of one group with common cause by the method that does not carry it; None where that has no form for the group."""
    if assessment.on_timeline(key):
        return None if assessment.plant.groups[key].beyond_annex_b else annex_b(assessment).group(key).pfd.scored
    part = group_over_time(assessment, assessment.group(key))
    if part.group is None:
        return None
    means, _ = Function([Entry((part,))], timed_groups.mission(assessment.plant), low=True).means()
    return float(means[0][0])


def _cases(cases: Cases) -> tuple[float, float]:
    return cases.scored, cases.adjusted


def _pair(mean: Array) -> tuple[float, float]:
    return float(mean[0]), float(mean[1])


def _why(compared: _Compared, timed: FunctionOverTime, now: float) -> str:
    """The sentence on the difference. Each cause is calculated: the function is evaluated without it, one after the other."""
    function, mission, causes = compared.function, compared.mission, []
    over = (group for group in function.groups if not group.stated and group.id not in compared.constant)
    groups = {group.id: compared.assessment.plant.groups[group.id] for group in over}
    own = [key for key, group in groups.items() if any(test.error or test.duration_h for test in group.tests)]
    if own:
        now, before = compared.scored(mission, Shown(throughout=True)), now
        causes += _begin_late(own, before / now)
    offset = [key for key, group in groups.items() if timed_groups.has_offsets(group)]
    if offset:
        now, before = compared.scored(mission), now
        if not _alike(before / now):
            causes.append(f"the times of the tests of {', '.join(offset)} {_move(before / now)}; Annex B ignores them")
    whole = _whole_intervals(timed, mission)
    if whole != mission:
        now, before = compared.scored(whole), now
        if not _alike(before / now):
            causes.append(
                f"a mission of {mission / HOURS_PER_YEAR:.3g} years ends within intervals of tests, which {_moves(before / now)}; "
                "Annex B takes whole intervals"
            )
    remaining = now / function.cases.scored
    if not _alike(remaining):
        slow = _at_low_rates(compared, whole)
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


def _at_low_rates(compared: _Compared, mission: Hours) -> float:
    """Timeline over Annex B where all failure rates of the plant are lower by ``LOW``, with the same betas."""
    assessment, plant = compared.assessment, compared.assessment.plant
    rates = ("lambda_du_fit", "lambda_dd_fit", "lambda_s_fit", "lambda_sd_fit")
    devices = {
        key: device.model_copy(update={name: (getattr(device, name) or 0.0) * LOW for name in rates})
        for key, device in plant.devices.items()
    }
    low = Assessment(plant.model_copy(update={"devices": devices}), assessment.answers, editions=assessment.editions)
    slow = replace(compared, assessment=low, function=low.function(compared.function.id))
    return slow.scored(mission) / slow.function.cases.scored


def _whole_intervals(timed: FunctionOverTime, mission: Hours) -> Hours:
    """The first time from the mission on at which every interval is over [h].

    The mission itself where that takes too long, or where a rest is found by no test: it would grow meanwhile.
    """
    every = common_period(timed.rhythms(), LONGEST_MISSION)
    return mission if every is None else ceil(mission / every - 1e-9) * every


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
