"""Words that stand on several screens, and text of people made safe to show."""

from __future__ import annotations

import html
import re

from checks.figures import factor, measure, measure_name, target
from checks.plant import Plant, Value
from checks.results import FunctionResult

ANSWERS: dict[Value, str] = {
    "met": "Met",
    "partly": "Partly",
    "not-met": "Not met",
    "unknown": "Not known",
    "equivalent": "Met another way",
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
