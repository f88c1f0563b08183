"""Line charts of results: a function against the beta of a group, and results over the revisions of a system."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import log10

from numpy import interp

from checks.analysis import beta_curves, second_opinion
from checks.analysis.beta_curves import Curves
from checks.comparison.comparison import Point
from checks.text.number_format import measure, measure_name, percent
from pages.charts.chart_data import DASHES, MARKS, Curve, Line, MarkedPoint, OverTime, Scale, Trend, scale_around
from pages.charts.rails import AXES
from pages.presentation.palette import Colour
from scoring.units import HOURS_PER_YEAR, Array

MOST_LINES = len(MARKS)
"""Maximum lines of one trend chart: each has its own mark."""
COLOURS: tuple[Colour, ...] = ("kept", "cyber", "ink")
BETA = "beta of a 1oo2 group of these devices (beta_int), per cent"
MEASURES = {
    "low": "risk reduction factor, log scale",
    "high": "1/PFH in hours, log scale",
}

OVER_TIME = {
    "low": "probability of failure on demand at the time, log scale",
    "high": "rate of failing at the time, per hour, log scale",
}


def against_beta(curves: Curves, *, demand: str, limit: float) -> Curve:
    """RRF or 1/PFH against beta: a heavy line as built, dashed lines for other votings, marked points for the group.

    ``limit`` is the highest PFDavg or PFH [1/h] that meets the target.
    """
    goal, betas = 1.0 / limit, tuple(float(beta) * 100.0 for beta in curves.beta_int)
    dashes = iter(DASHES)
    lines = [_voted(curve, () if curve.as_built else next(dashes)) for curve in curves.curves]
    values = [value for line in lines for value in line.values if value is not None]
    return Curve(
        x_scale=Scale(betas[0], betas[-1], BETA),
        y_scale=scale_around([*values, goal], MEASURES[demand]),
        places=betas,
        lines=tuple(sorted(lines, key=lambda line: line.heavy)),
        limit=goal,
        marked_points=tuple(_marked_points(curves, demand)),
    )


def _voted(curve: beta_curves.Curve, dash: tuple[float, ...]) -> Line:
    name = f"{curve.voting} as built" if curve.as_built else f"{curve.voting} instead"
    values = tuple(1.0 / float(result) for result in curve.result)
    return Line(name, values, "kept" if curve.as_built else "quiet", dash, heavy=curve.as_built)


def _marked_points(curves: Curves, demand: str) -> Iterator[MarkedPoint]:
    """Points of the group on the curve as built, with common cause and with the cyber scenario."""
    built = next(curve for curve in curves.curves if curve.as_built)
    xs, ys = [log10(beta) for beta in curves.beta_int], [log10(result) for result in built.result]
    for beta, name, square in (
        (curves.scored_beta_int, "with common cause", False),
        (curves.adjusted_beta_int, "with the cyber scenario", True),
    ):
        inside = max(beta, float(curves.beta_int[0]))  # a beta below the scale is clipped to its end
        result = 10.0 ** float(interp(log10(inside), xs, ys))
        words = f"{name}: beta_int {percent(beta)}, {measure_name(demand)} {measure(demand, result)}"
        yield MarkedPoint(name, words, inside * 100.0, 1.0 / result, "cyber" if square else "ink", square)


def over_time(curve: second_opinion.Curve, *, demand: str, limit: float) -> OverTime:
    """PFD or rate of failing over the mission: a heavy line with common cause, dashed with the cyber scenario and as if tested at once.

    Values under a thousandth of the target or of the mean are not drawn: at the start everything is new.
    """
    least = min(limit, float(curve.scored.mean())) / 1000.0

    def drawn_of(values: Array) -> tuple[float | None, ...]:
        return tuple(float(value) if value >= least else None for value in values)

    lines = [Line("with the cyber scenario", drawn_of(curve.adjusted), "cyber", DASHES[0])]
    if curve.together is not None:
        lines.append(Line("with common cause, all tested together", drawn_of(curve.together), "quiet", DASHES[1]))
    lines.append(Line("with common cause", drawn_of(curve.scored), "kept", heavy=True))
    drawn = [value for line in lines for value in line.values if value is not None]
    at: dict[float, list[str]] = {}
    for group, instants in curve.tests.items():
        for instant in instants:
            at.setdefault(float(instant), []).append(group)
    tests = tuple((hour / HOURS_PER_YEAR, f"test: {', '.join(groups)}") for hour, groups in sorted(at.items()))
    years = tuple(float(hour) / HOURS_PER_YEAR for hour in curve.hours)
    return OverTime(years, scale_around([*drawn, limit], OVER_TIME[demand]), tuple(lines), limit, tests)


def trend(points: Sequence[Point], categories: dict[str, str], targets: Mapping[str, str]) -> list[Trend]:
    """Results of functions over revisions, one line per function: RRF in low demand, 1/PFH [h] in high demand.

    ``categories`` describe each label of a point, in order; ``targets`` name the functions that are drawn and the target of
    each. A function without a figure in the last category is left out.
    """
    charts: list[Trend] = []
    last = next(reversed(categories))
    for kind, demand in (("RRF", "low"), ("PFH", "high")):
        by_function: dict[str, dict[str, float]] = {}
        for point in points:
            if point.measure == kind and point.value is not None and point.id in targets:
                by_function.setdefault(point.id, {})[point.label] = (
                    point.value if demand == "low" else 1.0 / point.value
                )
        values = {
            f"{key}, target {targets[key]}": tuple(by_label.get(label) for label in categories)
            for key, by_label in by_function.items()
            if last in by_label
        }
        names = list(values)
        for start in range(0, len(names), MOST_LINES):
            lines = tuple(
                _trend_line(index, name, values[name]) for index, name in enumerate(names[start : start + MOST_LINES])
            )
            known = [value for line in lines for value in line.values if value is not None]
            charts.append(Trend(tuple(categories.items()), scale_around(known, AXES[demand]), lines))
    return charts


def _trend_line(index: int, name: str, values: tuple[float | None, ...]) -> Line:
    dash = ((), *DASHES)[index % (len(DASHES) + 1)]
    return Line(name, values, COLOURS[index % len(COLOURS)], dash, mark=MARKS[index])
