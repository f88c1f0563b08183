"""Texts shared by several screens and reports, and escaping of typed text."""

from __future__ import annotations

import html
import re
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from checks.access.names import same
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Point
from checks.comparison.differences import AnswerFact
from checks.events.plant.failure import FoundBy
from checks.plantfile.fields import Value
from checks.plantfile.plant import Conduit, Plant
from checks.state.revision_status import Signature
from checks.text.number_format import NONE, factor, measure, measure_name, percent, significant, small, target
from pages.presentation.direction import isolated

ANSWERS: dict[Value, str] = {
    "met": "Met",
    "partly": "Partly",
    "not-met": "Not met",
    "unknown": "Not known",
    "equivalent": "Met by a compensating measure",
    "not-applicable": "Does not apply",
    "level-a": "Level A",
    "level-a-plus": "Level A+",
    "level-b": "Level B",
    "level-b-plus": "Level B+",
    "level-c": "Level C",
    "level-d": "Level D",
    "level-e": "Level E",
}

_MARKS = re.compile(r"([\\`*_{}\[\]()#+\-.!|<>~$:^&=@\"'])")


_ACTS_AS_TEXT = re.compile(
    r"(?<=:)(?=//|material[_/]|streamlit:)|(?<=www)(?=\.)|(?=@)|(?<=[-<>~])(?=[-=>])",
    re.IGNORECASE,
)
"""Places inside addresses, names of symbols and arrows, which Streamlit looks for in the text that escapes leave."""
_NOTHING = ":small[]"
"""Markdown of an empty piece of text: what stands on both sides of it is shown unchanged, and searched apart."""
FOUND_BY: dict[FoundBy, str] = {
    "proof-test": "Proof test",
    "self-test": "Self-test",
    "demand": "Real demand",
    "unwanted-trip": "Spurious trip",
    "mode-change": "Unauthorised mode change",
    "inspection": "Inspection",
    "other": "Other",
}
"""How a failure was found, in words."""
COMMON_CAUSE = {None: "undecided", True: "yes", False: "no"}


def answer_label(value: str) -> str:
    """The words of a stored answer; a value that this release does not have stays as it is."""
    return ANSWERS.get(value, value)  # type: ignore[call-overload, no-any-return]


def escaped(text: str) -> str:
    """Typed text escaped for Markdown: it is shown as typed, loads nothing, links nowhere and turns nothing around.

    >>> escaped("2oo3, not 1oo2")
    '2oo3, not 1oo2'
    """
    return _NOTHING.join(_MARKS.sub(r"\\\1", part) for part in _ACTS_AS_TEXT.split(isolated(text)))


def author(by: str, recorded_by: str) -> str:
    """Author of an answer, and who imported it where somebody else recorded it.

    >>> author("TM-1", "FA-2"), author("TM-1", "tm-1"), author("", "FA-2")
    ('TM-1, imported by FA-2', 'TM-1', 'somebody, imported by FA-2')
    """
    who = isolated(by) or "somebody"
    return f"{who}, imported by {isolated(recorded_by)}" if recorded_by and not same(by, recorded_by) else who


def paragraphs(*texts: str) -> str:
    """Markdown of several paragraphs, lists or tables."""
    return "\n\n".join(texts)


def small_print(text: str) -> str:
    """Markdown in small print, as a paragraph of a longer text: each further element of a screen costs a click time."""
    return f":small[:gray[{text}]]"


def in_chart(text: str) -> str:
    """Typed text escaped for chart labels, which interpret some HTML."""
    return html.escape(isolated(text), quote=False)


def titled(key: str, name: str) -> str:
    """Id and name."""
    return f"{key}  {isolated(name)}" if name else key


def flow(conduit: Conduit) -> str:
    """What a conduit carries, and the end to which a data diode lets it pass."""
    diode = f"data diode to {conduit.one_way_to}" if conduit.one_way_to else ""
    return "; ".join(filter(None, (conduit.flow, diode))) or NONE


def shortened(text: str, most: int = 42) -> str:
    """Text of at most ``most`` characters, to fit above a rail on a narrow screen."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def addressee(of: str, plant: Plant) -> str:
    """What an answer is given for: the whole plant, or a kind and an id."""
    kind, _, key = of.partition(":")
    return "the whole plant" if kind == "plant" else f"{kind} {key}" if plant else of


def counted(count: int, noun: str) -> str:
    """A number with its noun in singular or plural.

    >>> counted(1, "gap"), counted(2, "gap")
    ('1 gap', '2 gaps')
    """
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def rail_figures(function: FunctionResult) -> str:
    """Figures of a rail: both results, and whether each meets the target."""
    demand, cases = function.demand, function.cases
    scored, adjusted = measure(demand, cases.scored), measure(demand, cases.adjusted)
    return (
        f"{measure_name(demand)} {scored}, target {target(demand, function.target)}: {_short(function, 'scored')}; "
        f"cyber scenario {adjusted}: {_short(function, 'adjusted')}"
    )


def _short(function: FunctionResult, case: verdicts.Case) -> str:
    """A verdict short enough for a rail."""
    if verdicts.unknown(function, case):
        return "not reviewed"
    standing, margin = verdicts.standing(function, case), function.limit / getattr(function.cases, case)
    if standing == "at":
        return "at target"
    return f"met by {factor(margin)}" if standing == "meets" else f"short by {factor(1.0 / margin)}"


def redundancy_sentence(function: FunctionResult) -> str:
    """Sentence on the gain of redundancy: with common cause first, then with the cyber scenario."""
    cases, name, demand = function.cases, measure_name(function.demand), function.demand
    scored, ideal, single = (measure(demand, value) for value in (cases.scored, cases.ideal, cases.single))
    if cases.benefit_ideal <= 1.0:
        return f"Voting gains {function.id} nothing: {name} {single} with one channel of each group, {scored} as voted."
    possible = significant(cases.benefit_ideal)
    if verdicts.outside_range(function):
        return verdicts.beyond_range([function])
    if verdicts.share_kept(cases) is None:
        return f"Redundancy gains {function.id} hardly anything: {name} {scored}, at best {ideal}."
    left = factor(cases.single / cases.scored)
    return (
        f"Redundancy gains {function.id} a factor {left} of a possible {possible} with common cause, "
        f"{factor(cases.benefit_kept)} with the cyber scenario: {name} {scored} and {measure(demand, cases.adjusted)} "
        f"instead of {ideal}."
    )


def verdict_sentence(function: FunctionResult) -> str:
    """Both verdicts on a function, the group that limits it, and the range of the result while questions are open."""
    weakest, measured = function.weakest, "PFD" if function.demand == "low" else "PFH"
    share = percent(function.share_of("scored")[weakest.id])
    text = (
        f"Target {target(function.demand, function.target, function.target_sil)}. {verdicts.both_verdicts(function)} "
    )
    text += f"{weakest.id} contributes {share} of the {measured} with common cause"
    front = [entry.id for entry in function.entries if entry.id != weakest.id and entry.redundant]
    if not weakest.redundant and front:
        text += f": a single channel behind redundant {', '.join(front)}. More redundancy there gains nothing"
    if (spread := range_while_open(function)) != NONE:
        text += (
            f". While questions are open and claims lack evidence, the result with common cause lies between {spread}"
        )
    return text + "."


def range_while_open(function: FunctionResult) -> str:
    """Range of the result with common cause while questions are open; NONE if there is no range."""
    band = function.band
    if band is None:
        return NONE
    worst, best = (measure(function.demand, result) for result in (band.pessimistic, band.optimistic))
    return NONE if worst == best else f"{worst} and {best}"


def break_even(function: FunctionResult) -> str:
    """Probability of a compromise above which the target is missed; for functions in low demand."""
    if function.break_even is None:
        text = "The target is already missed with the cyber scenario, so there is no break-even."
    else:
        text = (
            f"Break-even: the target is missed if a compromise defeats the whole function at the time of a demand with a "
            f"probability above {small(function.break_even)}."
        )
    return f"{text} No such probability is assumed or computed."


def without_beta(groups: Iterable[str]) -> str:
    """Sentence on programmable groups whose result the cyber scenario does not change."""
    return (
        f"{', '.join(groups)}: programmable, but without a beta (no redundancy, or a stated result), so the cyber scenario does "
        "not change this result."
    )


def answers_differ(facts: Collection[AnswerFact]) -> str:
    """How many answers differ in value, and how many in evidence or note only, or in author or day only."""
    moved, rewritten = sum(fact.moves for fact in facts), sum(fact.rewritten for fact in facts)
    rest = len(facts) - moved - rewritten
    only = f", {rest} in author or day only" if rest else ""
    return f"{moved} {'answer differs' if moved == 1 else 'answers differ'} in value, {rewritten} in evidence or note only{only}"


def value_text(value: Any) -> str:
    """A value of the plant file in words, also one with parts.

    >>> value_text({"beta": 0.02, "of": "group"}), value_text([["SOV", "ESV"]]), value_text(None)
    ('beta 0.02, of group', 'SOV+ESV', 'not present')
    >>> value_text([["SOV", {"voting": "1oo2", "of": ["SOV", "SOV"], "stated_beta": {"beta": 0.1}}]])
    'SOV+(1oo2 of SOV, SOV, stated_beta beta 0.1)'
    """
    if value is None:
        return "not present"
    if isinstance(value, Mapping) and isinstance(value.get("of"), list):
        rest = {name: part for name, part in value.items() if name not in ("voting", "of") and part is not None}
        more = f", {value_text(rest)}" if rest else ""
        return f"({value['voting']} of {', '.join(map(value_text, value['of']))}{more})"
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {value_text(part)}" for name, part in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(
            "+".join(map(value_text, part)) if isinstance(part, list) else value_text(part) for part in value
        )
    return str(value)


def covers(signature: Signature) -> str:
    """What a signature covers besides the revision and the statement: open actions by id, accepted residual risks."""
    ids = signature.open_actions
    older = "open actions not listed (signature of an older release)"
    text = older if ids is None else f"open actions: {', '.join(ids) or 'none'}"
    gaps = len(signature.statement["accepted_gaps"])
    return f"{text}; {counted(gaps, 'accepted residual risk')}" if signature.half == "security" else text


def trend_figure(point: Point) -> str:
    """Text of one figure of a trend; without a value, the gaps of a zone are "not reviewed"."""
    if point.value is None:
        return "not reviewed" if point.measure == "gaps" else NONE
    if point.measure == "gaps":
        return f"{point.value:.0f}"
    if point.measure.startswith("RRF"):
        return measure("low", 1.0 / point.value)
    return measure("high", point.value) if point.measure.startswith("PFH") else percent(point.value)
