"""Words that stand on several screens, and text of people made safe to show."""

from __future__ import annotations

import html
import re

from checks.figures import NONE, factor, measure, measure_name, percent, significant, small, target
from checks.plant import Plant, Value
from checks.record.comparison import Point
from checks.record.held import Signature
from checks.results import FunctionResult

ANSWERS: dict[Value, str] = {
    "met": "Met",
    "partly": "Partly",
    "not-met": "Not met",
    "unknown": "Not known",
    "equivalent": "Met another way",
    "not-applicable": "Does not apply",
}

WORTH = 1.5
"""Factor below which redundancy is said to buy next to nothing (house rule)."""

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


def verdict(function: FunctionResult) -> str:
    """Whether the target is met, in words; a margin that rounds to one keeps enough digits."""
    margin = function.margin
    if margin >= 1.0:
        return f"meets the target in this model, by a factor {factor(margin)}"
    return f"falls short by a factor {factor(1.0 / margin)}"


def rail_figures(function: FunctionResult) -> str:
    """What stands at a rail: present result of the ideal one, target, and whether it is met."""
    demand, cases, margin = function.demand, function.cases, function.margin
    now, ideal = measure(demand, cases.adjusted), measure(demand, cases.ideal)
    said = f"met by a factor {factor(margin)}" if margin >= 1.0 else f"falls short by a factor {factor(1.0 / margin)}"
    return f"{measure_name(demand)} {now} of {ideal}; target {target(demand, function.target)}: {said}"


def bought(one: FunctionResult) -> str:
    """What the redundancy of a function bought, in a sentence."""
    cases, name = one.cases, measure_name(one.demand)
    now, ideal, single = (measure(one.demand, value) for value in (cases.adjusted, cases.ideal, cases.single))
    if cases.share_kept is None:
        return f"Voting buys {one.id} nothing here: {name} {single} with one channel of each group, {now} as voted."
    possible, kept = significant(cases.benefit_ideal), factor(cases.benefit_kept)
    if cases.benefit_ideal < WORTH:
        return f"Redundancy can buy {one.id} no more than a factor {possible}: {name} {now}, at best {ideal}."
    return (
        f"Redundancy buys {one.id} a factor {kept} of a possible {possible}, {percent(cases.share_kept)} of its "
        f"rail: {name} {now} instead of {ideal}."
    )


def what_remains(one: FunctionResult) -> str:
    """Whether a function meets its target, who carries what remains, and between which results it lies."""
    weakest = one.weakest
    share = percent(one.share[weakest.id])
    said = f"It {verdict(one)} ({target(one.demand, one.target)}). {weakest.id} carries {share} of what remains"
    front = [group.id for group in one.groups if group.id != weakest.id and group.voting.redundant]
    if not weakest.voting.redundant and front:
        said += f": a single channel behind redundant {', '.join(front)}. More of those buys nothing"
    if one.optimistic < one.pessimistic * 0.999:
        low, high = measure(one.demand, one.pessimistic), measure(one.demand, one.optimistic)
        said += f". While questions are open and claims lack evidence it lies between {low} and {high}"
    return said + "."


def break_even(one: FunctionResult) -> str:
    """At which probability of a compromise the target would just be missed; for functions in low demand."""
    if one.break_even is None:
        said = "The target is missed without any compromise, so there is no break-even."
    else:
        said = (
            f"Break-even: if a compromise defeated the whole function at the moment of a demand with a probability of "
            f"{small(one.break_even)}, the target would just be missed."
        )
    return f"{said} No such probability is assumed or computed."


def covers(signature: Signature) -> str:
    """What a signature covers beside the revision and the signer's words: open actions by id, and accepted gaps."""
    ids = signature.open_actions
    if ids is None:
        said = "open actions not listed, as in all signatures of that time"
    else:
        said = f"open actions: {', '.join(ids) or 'none'}"
    gaps = len(signature.statement["accepted_gaps"])
    return f"{said}; {counted(gaps, 'accepted gap')}" if signature.half == "security" else said


def over_time(point: Point) -> str:
    """One figure of a trend as it is written; a number of gaps is none where nobody reviewed the zone."""
    if point.value is None:
        return "not reviewed" if point.measure == "gaps" else NONE
    if point.measure == "gaps":
        return f"{point.value:.0f}"
    if point.measure == "RRF":
        return measure("low", 1.0 / point.value)
    return measure("high", point.value) if point.measure == "PFH" else percent(point.value)
