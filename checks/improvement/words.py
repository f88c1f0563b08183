"""A plan in words, the same on screens, in reports and on the command line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from checks.assessment.verdicts import CASES
from checks.improvement.plan import Plan
from checks.plantfile.plant import Asked
from checks.text.number_format import measure, measure_name, target
from scoring.beta.by_grades import asked_by

COUNTED = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
MOST_NAMED = 6


def headline(plan: Plan) -> str:
    """What to do, in one sentence without the names of the answers."""
    case, functions = CASES[plan.model.case], plan.model.functions
    if plan.chosen is None:
        missed = plan.beyond or functions
        aim = "its target" if len(missed) == 1 else "their targets"
        return f"{'Answers alone do' if plan.proven else 'The sets found in time do'} not bring {in_list(missed)} to {aim} {case}"
    if not plan.chosen:
        return f"{in_list(functions)} {_meets(functions)} {case} already"
    verb, noun = ("brings", "answer") if len(plan.chosen) == 1 else ("bring", "answers")
    aim = "its target" if len(functions) == 1 else "their targets"
    return f"{counted(len(plan.chosen))} {noun} {verb} {in_list(functions)} to {aim} {case}, effort {plan.effort:g}"


def details(plan: Plan) -> str:
    """The names of the answers and whether the set is proven, or what all answers together reach; empty if all is met."""
    if plan.chosen is None:
        return _reach(plan)
    if not plan.chosen:
        return ""
    named = ", ".join(f"{question} of {of}" for question, of in plan.actions[:MOST_NAMED])
    more = len(plan.chosen) - MOST_NAMED
    return f"{named}{f' and {more} more' if more > 0 else ''}. {proof(plan)}"


def proof(plan: Plan) -> str:
    """Whether the set is proven to be the cheapest."""
    if plan.proven:
        return "Proven: no set with less effort is enough."
    return f"Best set found, not proven: its effort is at most {plan.excess:.2g} above the least."


def _reach(plan: Plan) -> str:
    """What all open answers together reach, for the functions that fall short then."""
    count = len(plan.model.actions)
    reached = "; ".join(_with_everything(plan, name) for name in plan.beyond)
    if not reached:
        return ""
    lead = (
        f"Even with all {count} open answers met: {reached}"
        if count
        else f"No answer is open that could help: {reached}"
    )
    return f"{lead}. Look at tests, voting and devices."


def _with_everything(plan: Plan, name: str) -> str:
    function = plan.model.assessment.plant.functions[name]
    demand = function.demand
    aim = target(demand, function.target, function.target_sil)
    return f"{name} {measure_name(demand)} {measure(demand, plan.together[name])}, target {aim}"


def _meets(functions: Sequence[str]) -> str:
    return "meets its target" if len(functions) == 1 else "meet their targets"


def held(plan: Plan) -> str:
    """Groups whose beta no action moves, since a method of their own asks other questions; empty where there are none."""
    assessment = plan.model.assessment
    used = dict.fromkeys(key for name in plan.model.functions for key in assessment.plant.functions[name].group_ids)
    groups = [key for key in used if assessment.asked(key) and asked_by(assessment.beta_method(key)) is not None]
    if not groups:
        return ""
    many = len(groups) > 1
    return (
        f"The beta of {', '.join(groups[:MOST_NAMED])}{f' and {len(groups) - MOST_NAMED} more' if len(groups) > MOST_NAMED else ''} "
        f"is held: {'their methods ask' if many else 'its method asks'} other questions, which are no actions here."
    )


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
