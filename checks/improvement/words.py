"""A plan in words, the same on screens, in reports and on the command line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from checks.assessment.verdicts import CASES
from checks.improvement.plan import Plan
from checks.plantfile.plant import Asked
from checks.text.number_format import measure, measure_name, target

COUNTED = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
MOST_NAMED = 6


def sentence(plan: Plan) -> str:
    """What to do, in one or two sentences."""
    case = CASES[plan.model.case]
    if plan.chosen is None:
        return _short(plan)
    if not plan.chosen:
        return f"{in_list(plan.model.functions)} {_meets(plan.model.functions)} {case} already: nothing needs to be fixed for it."
    chosen, subject = len(plan.chosen), in_list(plan.model.functions)
    verb, noun, target_of = ("bring", "answers", "its target" if len(plan.model.functions) == 1 else "their targets")
    if chosen == 1:
        verb, noun = "brings", "answer"
    named = ", ".join(f"{question} of {of}" for question, of in plan.actions[:MOST_NAMED])
    more = chosen - MOST_NAMED
    named += f" and {more} more" if more > 0 else ""
    return f"{counted(chosen)} {noun} {verb} {subject} to {target_of} {case}: {named}; effort {plan.effort:g}. {proof(plan)}"


def proof(plan: Plan) -> str:
    """Whether the set is proven to be the cheapest."""
    if plan.proven:
        return "Proven: no set with less effort is enough."
    return f"Best set found, not proven: its effort is at most {plan.excess:.2g} above the least."


def _short(plan: Plan) -> str:
    """Why no set is enough."""
    case = CASES[plan.model.case]
    if not plan.proven:
        return f"No set was found in time with which {in_list(plan.model.functions)} {_meets(plan.model.functions)} {case}."
    beyond = plan.beyond or plan.model.functions
    falls = "falls" if len(beyond) == 1 else "fall"
    figures = "; ".join(_reach(plan, name) for name in beyond)
    every = len(plan.model.actions)
    if not every:
        return f"No answer is open that could help: {in_list(beyond)} {falls} short of the target {case} ({figures})."
    return (
        f"Even with all {every} open answers met {in_list(beyond)} {falls} short of the target {case} ({figures}): "
        "answers alone are not enough, look at tests, voting and devices."
    )


def _reach(plan: Plan, name: str) -> str:
    function = plan.model.assessment.plant.functions[name]
    demand = function.demand
    aim = target(demand, function.target, function.target_sil)
    return f"{name}: {measure_name(demand)} {measure(demand, plan.together[name])}, target {aim}"


def _meets(functions: Sequence[str]) -> str:
    return "meets its target" if len(functions) == 1 else "meet their targets"


def listed(plan: Plan) -> Iterator[tuple[Asked, float]]:
    """The actions of the set with their efforts."""
    for at in sorted(plan.chosen or ()):
        yield plan.model.actions[at], plan.model.problem.efforts[at]


def counted(count: int) -> str:
    """A number at the beginning of a sentence."""
    return COUNTED[count] if count < len(COUNTED) else f"{count:,}"


def in_list(names: Iterable[str]) -> str:
    """Names in a sentence; of many, how many they are.

    >>> in_list(["A"]), in_list(["A", "B", "C"]), in_list("ABCDEFGH")
    ('A', 'A, B and C', 'all 8 functions')
    """
    known = list(names)
    if len(known) > MOST_NAMED:
        return f"all {len(known)} functions"
    return known[0] if len(known) == 1 else f"{', '.join(known[:-1])} and {known[-1]}"
