"""Words that stand on several screens, and text of people made safe to show."""

from __future__ import annotations

import html
import re

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Point
from checks.plantfile.plant import Plant, Value
from checks.state.entries import Signature
from checks.text.number_format import NONE, factor, measure, measure_name, percent, significant, small, target

ANSWERS: dict[Value, str] = {
    "met": "Met",
    "partly": "Partly",
    "not-met": "Not met",
    "unknown": "Not known",
    "equivalent": "Met by a compensating measure",
    "not-applicable": "Does not apply",
}

_MARKS = re.compile(r"([\\`*_{}\[\]()#+\-.!|<>~$:^&=@\"'])")


def plain(text: str) -> str:
    """Text that somebody typed, so that Markdown shows it as typed and fetches nothing."""
    return _MARKS.sub(r"\\\1", text)


def in_chart(text: str) -> str:
    """Text that somebody typed, for a chart, whose labels understand a little HTML."""
    return html.escape(text, quote=False)


def titled(key: str, name: str) -> str:
    """Id and name."""
    return f"{key}  {name}" if name else key


def shortened(text: str, most: int = 42) -> str:
    """Text that fits above a rail on a narrow screen."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def addressee(of: str, plant: Plant) -> str:
    """Of whom an answer was given, as a person says it."""
    kind, _, key = of.partition(":")
    return "the whole plant" if kind == "plant" else f"{kind} {key}" if plant else of


def counted(many: int, what: str) -> str:
    """So many of something.

    >>> counted(1, "gap"), counted(2, "gap")
    ('1 gap', '2 gaps')
    """
    return f"{many:,} {what}{'' if many == 1 else 's'}"


def rail_figures(function: FunctionResult) -> str:
    """What stands at a rail: both results, and whether each meets the target."""
    demand, cases = function.demand, function.cases
    scored, adjusted = measure(demand, cases.scored), measure(demand, cases.adjusted)
    return (
        f"{measure_name(demand)} {scored}, target {target(demand, function.target)}: {_short(function, 'scored')}; "
        f"cyber scenario {adjusted}: {_short(function, 'adjusted')}"
    )


def _short(function: FunctionResult, case: verdicts.Case) -> str:
    """A verdict in the room that a rail has."""
    if verdicts.unknown(function, case):
        return "not reviewed"
    standing, margin = verdicts.standing(function, case), function.limit / getattr(function.cases, case)
    if standing == "at":
        return "at target"
    return f"met by {factor(margin)}" if standing == "meets" else f"short by {factor(1.0 / margin)}"


def gained(function: FunctionResult) -> str:
    """What redundancy gains a function, in a sentence: with common cause first, then with the cyber scenario."""
    cases, name, demand = function.cases, measure_name(function.demand), function.demand
    scored, ideal, single = (measure(demand, value) for value in (cases.scored, cases.ideal, cases.single))
    if cases.benefit_ideal <= 1.0:
        return f"Voting gains {function.id} nothing: {name} {single} with one channel of each group, {scored} as voted."
    possible = significant(cases.benefit_ideal)
    if verdicts.share_kept(cases) is None:
        return f"There is hardly any redundancy to keep in {function.id}: {name} {scored}, at best {ideal}."
    left = factor(cases.single / cases.scored)
    return (
        f"Redundancy gains {function.id} a factor {left} of a possible {possible} with common cause, "
        f"{factor(cases.benefit_kept)} with the cyber scenario: {name} {scored} and {measure(demand, cases.adjusted)} "
        f"instead of {ideal}."
    )


def standing(function: FunctionResult) -> str:
    """Both verdicts on a function, which group limits it, and between which results it lies while questions are open."""
    weakest, measured = function.weakest, "PFD" if function.demand == "low" else "PFH"
    share = percent(function.share_of("scored")[weakest.id])
    text = f"Target {target(function.demand, function.target)}. {verdicts.both(function)} "
    text += f"{weakest.id} contributes {share} of the {measured} with common cause"
    front = [group.id for group in function.groups if group.id != weakest.id and group.voting.redundant]
    if not weakest.voting.redundant and front:
        text += f": a single channel behind redundant {', '.join(front)}. More of those gains nothing"
    if (spread := between(function)) != NONE:
        text += (
            f". While questions are open and claims lack evidence, the result with common cause lies between {spread}"
        )
    return text + "."


def between(function: FunctionResult) -> str:
    """Ends of the result with common cause while questions are open; NONE where there is no such band."""
    band = function.band
    if band is None:
        return NONE
    worst, best = (measure(function.demand, result) for result in (band.pessimistic, band.optimistic))
    return NONE if worst == best else f"{worst} and {best}"


def break_even(function: FunctionResult) -> str:
    """At which probability of a compromise the target would just be missed; for functions in low demand."""
    if function.break_even is None:
        text = "The target is missed without any compromise, so there is no break-even."
    else:
        text = (
            f"Break-even: if a compromise defeated the whole function at the moment of a demand with a probability of "
            f"{small(function.break_even)}, the target would just be missed."
        )
    return f"{text} No such probability is assumed or computed."


def covers(signature: Signature) -> str:
    """What a signature covers beside the revision and the signer's words: open actions by id, and accepted gaps."""
    ids = signature.open_actions
    if ids is None:
        text = "open actions not listed, as in all signatures of that time"
    else:
        text = f"open actions: {', '.join(ids) or 'none'}"
    gaps = len(signature.statement["accepted_gaps"])
    return f"{text}; {counted(gaps, 'accepted gap')}" if signature.half == "security" else text


def over_time(point: Point) -> str:
    """One figure of a trend as it is written; a number of gaps is none where nobody reviewed the zone."""
    if point.value is None:
        return "not reviewed" if point.measure == "gaps" else NONE
    if point.measure == "gaps":
        return f"{point.value:.0f}"
    if point.measure.startswith("RRF"):
        return measure("low", 1.0 / point.value)
    return measure("high", point.value) if point.measure.startswith("PFH") else percent(point.value)
