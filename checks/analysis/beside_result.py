"""What the second method says of a function, in short, to stand beside its result wherever that is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from checks.analysis.second_opinion import ANNEX_B, SecondOpinion, second_opinion
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


def turns(function: FunctionResult, beside: Beside) -> Literal["", "meets", "falls short of"]:
    """What the second method says of the target with common cause, where it is the contrary of the verdict; else empty."""
    if beside.result is None or verdicts.standing(function, "scored") == "at":
        return ""
    short = verdicts.falls_short(function, "scored")
    shown, limit = (measure(function.demand, value) for value in (beside.result[0], function.limit))
    other = shown != limit and beside.result[0] > function.limit
    return "" if other == short else "falls short of" if other else "meets"
