"""From the groups of a function to its entries: a group as the function votes it, or alternatives of which any is enough."""

from __future__ import annotations

from collections.abc import Sequence

from checks.assessment.results import Band, Entry, GroupResult, Measured
from scoring import alternatives
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.method import Measure

CASES = ("ideal", "scored", "adjusted")


def single(measure: Measure, group: GroupResult) -> Entry:
    """An entry of one group."""
    return Entry((group,), group.measured(measure))


def any_of(measure: Measure, groups: Sequence[GroupResult], beta: float) -> Entry:
    """An entry of alternatives that share ``beta`` of the smallest result. One channel: the best group, with one channel."""
    splits = {case: _split(measure, groups, case, 0.0 if case == "ideal" else beta) for case in CASES}
    totals = (float(split.total) for split in splits.values())
    best = min(group.measured(measure).cases.single for group in groups)
    ends = [_split(measure, groups, end, beta).total for end in ("optimistic", "pessimistic")]
    band = Band(float(ends[0]), float(ends[1]))
    return Entry(tuple(groups), Measured(Cases(best, *totals), splits["scored"], splits["adjusted"], band), beta)


def _split(measure: Measure, groups: Sequence[GroupResult], case: str, beta: float) -> Split:
    pfds = [_of_case(group, "pfd", case) for group in groups]
    pfhs = [] if measure == "pfd" else [_of_case(group, "pfh", case) for group in groups]
    split = alternatives.result(measure, pfds, pfhs, beta=beta)
    return Split(float(split.independent), float(split.shared))


def _of_case(group: GroupResult, measure: Measure, case: str) -> float:
    """Result of a group in one case, or at one end of its band."""
    measured = group.measured(measure)
    ends = measured.band if case in ("optimistic", "pessimistic") else measured.cases
    return float(getattr(ends, case))
