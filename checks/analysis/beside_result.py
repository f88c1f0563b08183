"""What stands beside the result of a function wherever that is shown: the second method in short, and the band."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from checks.analysis import uncertainty
from checks.analysis.second_opinion import ANNEX_B, SecondOpinion, second_opinion
from checks.analysis.uncertainty import Uncertainty
from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.text.number_format import measure
from scoring.method import About
from scoring.methods import registry
from scoring.timeline.method import ABOUT


@dataclass(frozen=True, slots=True)
class Beside:
    """A function by the second ``method``, PFDavg [-] or PFH [1/h], with common cause and with the cyber scenario.

    ``result`` is None where the method has no form for the groups. ``ratio`` is over the first method, with common cause; ``why``
    says in a sentence why the two differ, or for which group the method has no form; empty where all results are stated.
    """

    method: About
    result: tuple[float, float] | None
    ratio: float | None
    why: str


@dataclass(frozen=True, slots=True)
class Figures:
    """Functions by id: results, bands of those that have an uncertain input, and what the second method says.

    Without ``bands`` and ``besides`` where they are not computed, or where this program computes other figures than were stored.
    """

    functions: dict[str, FunctionResult]
    bands: dict[str, Uncertainty]
    besides: dict[str, Beside]


def figures(assessment: Assessment, functions: Iterable[str]) -> Figures:
    """Functions with what stands beside their results."""
    results = {name: assessment.function(name) for name in functions}
    bands = {name: uncertainty.of_function(assessment, name) for name in results}
    besides = {name: of_function(assessment, name) for name in results}
    return Figures(results, {name: band for name, band in bands.items() if band is not None}, besides)


def of_function(assessment: Assessment, key: str) -> Beside:
    """What stands beside the result of a function."""
    return in_short(second_opinion(assessment, key))


def in_short(second: SecondOpinion | None) -> Beside:
    """The second opinion on a function in short; None where the method has no form for any of its groups."""
    if second is None:
        return Beside(ABOUT, None, None, "")
    both = second.function
    if not second.carried:
        return Beside(ABOUT, both.timeline, both.ratio, second.why)
    annex_b = registry.REDUNDANCY.latest(ANNEX_B).about
    return Beside(annex_b, both.annex_b, None if both.ratio is None else 1.0 / both.ratio, second.why)


def break_even_band(function: FunctionResult, band: Uncertainty) -> tuple[float | None, float | None]:
    """The break-even from common cause at the 95 % and at the 5 % value of the PFDavg; None where that misses the target.

    The break-even falls as the PFDavg rises, so these are its own 5 % and 95 % value: a band of a property of the function.
    """
    return function.break_even_from(band.band.p95), function.break_even_from(band.band.p5)


def break_evens(function: FunctionResult, beside: Beside) -> tuple[float | None, float | None]:
    """The break-evens by the second method, from common cause and from the cyber scenario; None where it has none."""
    if beside.result is None:
        return None, None
    scored, adjusted = beside.result
    return function.break_even_from(scored), function.break_even_from(adjusted)


def turns(function: FunctionResult, beside: Beside) -> Literal["", "meets", "falls short of"]:
    """What the second method says of the target with common cause, where it is the contrary of the verdict; else empty."""
    if beside.result is None or verdicts.standing(function, "scored") == "at":
        return ""
    short = verdicts.falls_short(function, "scored")
    shown, limit = (measure(function.demand, value) for value in (beside.result[0], function.limit))
    other = shown != limit and beside.result[0] > function.limit
    return "" if other == short else "falls short of" if other else "meets"
