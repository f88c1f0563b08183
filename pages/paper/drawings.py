"""Results as charts on paper. Nothing is computed here that a result does not hold.

The charts are drawn with lines and text of the page itself, so they stay sharp, can be searched, and take names in any
script.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from checks.curves import Curves
from checks.figures import percent
from checks.record.comparison import Point
from checks.results import FunctionResult
from pages.paper.blocks import Block
from pages.paper.courses import MOST_COURSES, Course, Courses
from pages.paper.graph import Graph
from pages.paper.ink import CYBER, KEPT, SHARED, Fill, Scale, spanning
from pages.paper.rows import ALONE, BEFORE, RANGE, TARGET, Row, Rows
from pages.shared.palette import LIGHT, SLANT, SOLID
from pages.shared.wording import rail_figures

AXES = {
    "low": "risk reduction factor, log scale: equal lengths are equal factors",
    "high": "hours to a dangerous failure, 1/PFH, log scale: equal lengths are equal factors",
}
CHANNELS = Fill("failures of single channels", LIGHT.quiet, SOLID)
COMMON = Fill("shared by all channels", LIGHT.shared, SLANT)


def rails(
    functions: Sequence[FunctionResult],
    names: Mapping[str, str],
    *,
    before: Mapping[str, FunctionResult] | None = None,
) -> list[Block]:
    """One rail a function, the worst margin on top; low and high demand stand on scales of their own.

    ``names`` are names by id; ``before`` are results of an earlier state, drawn as a dotted outline.
    """
    found: list[Block] = []
    for demand, words in AXES.items():
        shown = sorted((one for one in functions if one.demand == demand), key=lambda one: one.order)
        rows = [_rail(one, names[one.id], (before or {}).get(one.id)) for one in shown]
        if rows:
            ends = [end for row in rows for end in _ends(row)]
            extra = [BEFORE] if any(row.ghost for row in rows) else []
            legend: list[Fill | str] = [KEPT, CYBER, SHARED, ALONE, TARGET, RANGE, *extra]
            found.append(Rows(rows, spanning(ends, words), legend))
    return found


def _rail(one: FunctionResult, name: str, before: FunctionResult | None) -> Row:
    """Goodness is 1/PFDavg in low and 1/PFH in high demand, so that longer is better."""
    cases = one.cases
    single, adjusted, scored, ideal = (1.0 / case for case in (cases.single, cases.adjusted, cases.scored, cases.ideal))
    band = one.band
    low, high = (1.0 / band.pessimistic, 1.0 / band.optimistic) if band else (1.0 / one.cases.scored,) * 2
    # A function that voting makes worse than one channel keeps nothing: its solid piece has no length.
    bars = ((single, max(single, adjusted), KEPT), (adjusted, scored, CYBER), (scored, ideal, SHARED))
    return Row(
        name=(one.id, name),
        figures=rail_figures(one),
        bars=bars,
        dot=single,
        tick=1.0 / one.limit,
        whisker=(low, high) if high > low * 1.001 else None,
        ghost=None if before is None else (1.0 / before.cases.single, 1.0 / before.cases.adjusted),
    )


def _ends(row: Row) -> list[float]:
    held = [end for bar in row.bars for end in bar[:2]] + [*(row.whisker or ()), *(row.ghost or ())]
    return [*held, *(one for one in (row.dot, row.tick) if one is not None)]


def shares(function: FunctionResult, names: Mapping[str, str]) -> list[Block]:
    """Part of the result with common cause that each group contributes, split into independent failures and common cause.

    Nothing where a revision did not store the split.
    """
    total, rows, share = function.cases.scored, [], function.share_of("scored")
    for one in sorted(function.groups, key=lambda one: share[one.id], reverse=True):
        parts = function.measured(one).scored
        if parts is None:
            return []
        alone, shared = float(parts.independent) / total, float(parts.shared) / total
        said = f"{percent(share[one.id])}: independent {percent(alone)}, common cause {percent(shared)}"
        bars = ((0.0, alone * 100.0, CHANNELS), (alone * 100.0, (alone + shared) * 100.0, COMMON))
        rows.append(Row(name=(f"{one.id}  {one.voting}", names[one.id]), figures=said, bars=bars))
    words = f"part of the {'PFDavg' if function.demand == 'low' else 'PFH'} of {function.id} with common cause"
    return [Rows(rows, Scale(0.0, 100.0, words, linear=True), [CHANNELS, COMMON])]


def trend(points: Sequence[Point], stops: dict[str, str], targets: Mapping[str, str]) -> list[Block]:
    """Results of functions over revisions, one line a function: RRF, and hours to a failure where demand is high.

    ``stops`` are days by the label of a point, in order; ``targets`` name the functions that are drawn and what each aims at.
    """
    found: list[Block] = []
    for kind, demand in (("RRF", "low"), ("PFH", "high")):
        held: dict[str, dict[str, float]] = {}
        for one in points:
            if one.measure == kind and one.value is not None and one.id in targets:
                goodness = one.value if demand == "low" else 1.0 / one.value
                held.setdefault(one.id, {})[one.label] = goodness
        last = next(reversed(stops))
        courses = [
            Course(f"{key}, target {targets[key]}", tuple(each.get(label) for label in stops))
            for key, each in held.items()
            if last in each
        ]
        parts = (courses[start : start + MOST_COURSES] for start in range(0, len(courses), MOST_COURSES))
        found += [Courses(part, list(stops.items()), AXES[demand]) for part in parts]
    return found


def against_beta(drawn: Curves, *, demand: str, limit: float) -> list[Block]:
    """RRF (or 1/PFH) against beta: as built as a heavy line, other votings dashed; where the group stands, marked."""
    return [Graph(drawn, demand=demand, limit=limit)]
