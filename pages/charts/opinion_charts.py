"""Opinions on one axis: betas of a group by each method, and a function with the cyber scenario by each exposure rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from checks.analysis.beta_opinions import AskedOpinion, Carried, GroupOpinions, PublishedOpinion
from checks.assessment.editions import CAUSES
from checks.assessment.results import FunctionResult
from checks.text.number_format import NONE, measure, percent
from pages.charts.chart_data import Bars, Fill, Row, Scale, scale_around
from pages.charts.rails import AXES, TARGET
from pages.presentation.palette import LEVEL
from scoring.beta import published

BETA_AXIS = Scale(0.05, 60.0, "beta of a pair (1oo2), per cent; equal lengths are equal factors")
"""One axis for every group, from below the best beta of any method to above the worst [%]."""
PUBLISHED = Fill("published, by equipment", "quiet", LEVEL)
WHISKER = "range while questions are open and answers lack evidence"
CARRIES = "carries the result"
CHOSEN = "chosen for this group: carries the result"
OF_PLANT = "method of the plant, second opinion here"
BACKDROP = (
    f"Behind the rows: {percent(published.typical().low)} to {percent(published.typical().high)}, the range with good "
    f"prevention in {published.ranges_source()}."
)
"""What the backdrop is, with its source."""


def betas(found: GroupOpinions) -> Bars:
    """One row for each opinion on a group: the method that carries the result, the asked ones, the published ones."""
    rows = (
        _carried(found.carried),
        *(_asked(opinion) for opinion in found.asked),
        *(_published(opinion) for opinion in found.published),
    )
    typical = published.typical()
    legend = (PUBLISHED, WHISKER) if found.published else (WHISKER,)
    return Bars(rows, BETA_AXIS, legend, backdrop=(typical.low * 100.0, typical.high * 100.0))


def given(found: GroupOpinions) -> Bars:
    """The same without the methods that have no answer at all, for paper: a table beside it names them."""
    asked = tuple(opinion for opinion in found.asked if len(opinion.open) < opinion.asked)
    return betas(replace(found, asked=asked))


def one_beta(carried: Carried, opinion: AskedOpinion) -> Bars:
    """The method that carries the result, and the opinion of one further method."""
    typical = published.typical()
    rows = (_carried(carried), _asked(opinion))
    return Bars(rows, BETA_AXIS, (WHISKER,), backdrop=(typical.low * 100.0, typical.high * 100.0))


def _carried(carried: Carried) -> Row:
    figures = f"{percent(carried.beta)}{_between(carried.band)}"
    return Row(
        (carried.label, CHOSEN if carried.bank else CARRIES),
        figures,
        dot=_dot(carried.beta),
        whisker=_whisker(carried.band),
    )


def _asked(opinion: AskedOpinion) -> Row:
    return Row(
        (opinion.label, OF_PLANT if opinion.bank == CAUSES else ""),
        f"{standing(opinion)}{_between(opinion.band)}",
        dot=None if opinion.beta is None else _dot(opinion.beta),
        whisker=_whisker(opinion.band),
    )


def standing(opinion: AskedOpinion) -> str:
    """The beta of an opinion, or why there is none."""
    if opinion.beta is not None:
        return percent(opinion.beta)
    if len(opinion.open) == opinion.asked:
        return "not answered"
    if opinion.open:
        return f"no opinion: {len(opinion.open)} of {opinion.asked} questions are open"
    return "no value: the method gives none for this score"


def _published(opinion: PublishedOpinion) -> Row:
    low, high = opinion.values[0].beta, opinion.values[-1].beta
    figures = percent(low) if low == high else f"{percent(low)} to {percent(high)}"
    bars = ((low * 100.0 / 1.02, high * 100.0 * 1.02, PUBLISHED),)
    return Row((opinion.about.label, ""), f"{figures}, published", bars=bars)


def _dot(beta: float) -> float | None:
    """Place of a beta on the axis [%]; None for zero, which has none."""
    return beta * 100.0 if beta > 0.0 else None


def _whisker(band: tuple[float, float] | None) -> tuple[float, float] | None:
    """A range on the axis [%]; None where it has no length or starts at zero."""
    if band is None or not 0.0 < band[0] < band[1]:
        return None
    return band[0] * 100.0, band[1] * 100.0


def _between(band: tuple[float, float] | None) -> str:
    if band is None or not band[0] < band[1]:
        return ""
    return f"; between {percent(band[0])} and {percent(band[1])}"


def exposure_rules(function: FunctionResult, results_by_rule: Mapping[str, float], chosen: str) -> Bars:
    """The result with common cause, then with the cyber scenario by each exposure rule, as dots over one scale."""
    results = {"with common cause": function.cases.scored, **results_by_rule}
    rows = tuple(_rule(function, label, result, chosen) for label, result in results.items())
    return Bars(rows, scale_around([value for row in rows for value in row.values], AXES[function.demand]), (TARGET,))


def _rule(function: FunctionResult, label: str, result: float, chosen: str) -> Row:
    name = (label, CARRIES if label == chosen else "")
    return Row(name, measure(function.demand, result), dot=1.0 / result, tick=1.0 / function.limit)


HEAD = ("Method", "Beta of a pair", "Between", "From")
"""Columns of the table beside the chart."""


def lines(found: GroupOpinions) -> Iterator[tuple[str, ...]]:
    """Each opinion as a line of the table: whose it is, its beta, its range, and what it rests on."""
    carried = found.carried
    yield _line(carried.label, percent(carried.beta), carried.band, _rests_on(carried))
    for opinion in found.asked:
        answered = opinion.asked - len(opinion.open)
        of_plant = (OF_PLANT,) if opinion.bank == CAUSES else ()
        how = "; ".join((*of_plant, f"{answered} of {opinion.asked} answered", *opinion.worked))
        yield _line(opinion.label, standing(opinion), opinion.band, how)
    for listed in found.published:
        low, high = listed.values[0].beta, listed.values[-1].beta
        what = ", ".join(value.equipment for value in listed.values)
        yield _line(listed.about.label, percent(low) if low == high else NONE, (low, high), what)


def _rests_on(carried: Carried) -> str:
    """What the beta that carries the result rests on; of an own method of the group also why it was chosen."""
    if not carried.bank:
        return "the method of the result"
    answered = f"{carried.asked - len(carried.open)} of {carried.asked} answered"
    return "; ".join((f"{CHOSEN} ({carried.reason.rstrip(' .')})", carried.name, answered, *carried.worked))


def _line(label: str, beta: str, band: tuple[float, float] | None, how: str) -> tuple[str, ...]:
    between = NONE if band is None or not band[0] < band[1] else f"{percent(band[0])} to {percent(band[1])}"
    return label, beta, between, how


def published_lines(found: GroupOpinions) -> Iterator[tuple[str, str, str]]:
    """Each published value and each published range, as whose it is, what it is of, and its figures."""
    for opinion in found.published:
        for value in opinion.values:
            yield opinion.about.label, value.equipment, percent(value.beta)
    for each in (*published.ranges(), published.typical()):
        yield "Published range", each.survey, f"{percent(each.low)} to {percent(each.high)}"
