"""Actions: what is to be done so that an answer can become a better one, by whom, until when, and how it ended.

An action closes with evidence and a verifier who is not its owner. Closing changes no answer: it says which answers to
take up again, and a number moves when one of them changes with evidence, never on a promise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.access.names import same
from checks.assessment.answers import FAVOUR
from checks.assessment.assessment import MOVES, Assessment
from checks.events.plant.action import Action, Asked, State
from checks.plantfile.consistency import answer_faults
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from checks.text.faults import Fault, Refused

ENDED = ("closed", "dropped")


def next_id(existing: Iterable[str]) -> str:
    """The id after the highest ever used; ``existing`` must hold those of ended actions too, for none is used again.

    >>> next_id([]), next_id(["A-001", "A-011"]), next_id(["A-999"])
    ('A-001', 'A-012', 'A-1000')
    """
    return f"A-{max((int(one.removeprefix('A-')) for one in existing), default=0) + 1:03d}"


def check(action: Action, plant: Plant | None = None) -> list[Fault]:
    """Everything that is wrong with an action, each at the name of its field; with a plant also what it does not hold."""
    return [*_of_the_questions(action, plant), *_of_the_days(action), *_of_the_state(action)]


def _of_the_questions(action: Action, plant: Plant | None) -> Iterator[Fault]:
    for asked, count in Counter(action.questions).items():
        if count > 1:
            yield Fault("questions", f"{asked} occurs {count} times", "each once")
        if asked.question not in banks().every:
            yield Fault("questions", f"{asked.question} is in no bank", "ids as in the banks: SEP1, Z01, SR 1.1 …")
        elif plant is not None:
            blocks: dict[str, dict[str, Any]] = {
                "systems": dict(plant.systems),
                "groups": dict(plant.groups),
                "zones": dict(plant.zones),
            }
            for _, found, allowed in answer_faults(asked.model_dump(), blocks):
                yield Fault("questions", found, allowed)
    if action.questions and FAVOUR[action.answer_to] <= FAVOUR[action.answer_from]:
        found = f"{action.answer_to} is no better than {action.answer_from}"
        yield Fault("answer_to", found, "an answer that is better than the present answer")
    if plant is not None and action.system is not None and action.system not in plant.systems:
        known = ", ".join(plant.systems) or "none"
        yield Fault("system", f"{action.system} is not among the systems", f"known systems: {known}")


def _of_the_days(action: Action) -> Iterator[Fault]:
    for name in ("due", "closed_on"):
        held = getattr(action, name)
        if held is not None and held < action.raised_on:
            yield Fault(name, f"{held} lies before {action.raised_on}", "the day it was raised, or later")


def _of_the_state(action: Action) -> Iterator[Fault]:
    for name in ("what", "owner", "raised_by"):
        if not getattr(action, name).strip():
            yield Fault(name, "empty", "say it in words")
    needed = {"closed": ("evidence", "closed_on", "verifier"), "dropped": ("reason", "closed_on")}
    for name in needed.get(action.state, ()):
        held = getattr(action, name)
        if held is None or not str(held).strip():
            yield Fault(name, "missing", f"an action is not {action.state} without it")
    only = {"reason": ("dropped",), "verifier": ("closed",), "closed_on": ENDED}
    for name, states in only.items():
        if getattr(action, name) and action.state not in states:
            yield Fault(name, f"given, but the action is {action.state}", f"only where it is {' or '.join(states)}")
    if action.verifier and same(action.verifier, action.owner):
        yield Fault("verifier", f"{action.verifier} owns the action", "somebody other than the action owner")


@dataclass(frozen=True, slots=True)
class Closing:
    """A closed action and the answers to take up again. No answer is changed by it."""

    action: Action
    take_up: tuple[Asked, ...]


def closed(action: Action, *, evidence: str, verifier: str, on: date) -> Closing:
    """The action closed; raises Refused without evidence, or where the verifier is its owner."""
    after = _after(action, state="closed", evidence=evidence, verifier=verifier, closed_on=on)
    return Closing(after, after.questions)


def done(action: Action, *, evidence: str) -> Action:
    """The action done, awaiting verification; raises Refused without evidence, or where it has ended."""
    if not evidence.strip():
        raise Refused(action.id, [Fault("evidence", "missing", "give the evidence of completion")])
    return _after(action, state="done", evidence=evidence)


def dropped(action: Action, *, reason: str, on: date) -> Action:
    """The action given up; raises Refused without a reason, or where it has ended."""
    return _after(action, state="dropped", reason=reason, closed_on=on)


def reopened(action: Action) -> Action:
    """The action open again, and counted so. What it was closed with stays in the record of the closing."""
    cleared = {"reason": "", "evidence": "", "verifier": "", "closed_on": None}
    return _after(action, state="open", reopened=action.reopened + 1, **cleared)


def _after(action: Action, *, state: State, **fields: Any) -> Action:
    if state == action.state or (state != "open" and action.state in ENDED):
        raise Refused(action.id, [Fault("state", f"it is {action.state} already", "reopen an ended action first")])
    try:
        after = Action.model_validate({**action.model_dump(), "state": state, **fields})
    except ValidationError as error:
        raise Refused(action.id, [type_fault(one)[1] for one in error.errors(include_url=False)]) from error
    wrong = check(after)
    if wrong:
        raise Refused(action.id, wrong)
    return after


def age(action: Action, today: date) -> int:
    """Days since it was raised, or from then until it ended."""
    return ((action.closed_on or today) - action.raised_on).days


def overdue(action: Action, today: date) -> bool:
    """Whether its due day has passed and it was neither verified nor dropped."""
    return action.state not in ENDED and today > action.due


@dataclass(frozen=True, slots=True)
class Move:
    """A function's PFDavg in low and PFH [1/h] in high demand: now, and if the answers were as hoped.

    ``case`` is ``scored`` where only common-cause answers are hoped for, else ``adjusted``.
    """

    function: str
    demand: str
    now: float
    then: float
    case: str

    @property
    def moved(self) -> bool:
        """Whether it changes by as much as an answer must change a result to count."""
        return abs(self.then - self.now) >= MOVES * self.now


@dataclass(frozen=True, slots=True)
class ExpectedEffect:
    """Every function that the questions of an action can reach. A forecast: nothing is answered by it."""

    functions: tuple[Move, ...]

    @property
    def moved(self) -> tuple[Move, ...]:
        """Functions that move, the one that gains most first."""
        return tuple(sorted((one for one in self.functions if one.moved), key=lambda one: one.then / one.now))


def expected_effect(action: Action, assessment: Assessment) -> ExpectedEffect:
    """What the action would do to each function; an addressee that the plant no longer holds moves nothing."""
    plant, links = assessment.plant, assessment.links
    there = {"plant", *(f"{kind}:{key}" for kind in ("system", "group", "zone") for key in getattr(plant, f"{kind}s"))}
    asked = [one for one in action.questions if one.of in there]
    then = assessment.with_answers(Answer(question=one.question, of=one.of, value=action.answer_to) for one in asked)
    groups = {key for one in asked for key in links.groups_of(one.of)}
    reached = {name for key in groups for name in links.uses[key]}
    case = "scored" if all(one.question in assessment.banks.common_cause for one in asked) else "adjusted"
    found = []
    for name in (name for name in plant.functions if name in reached):
        now, after = assessment.function(name), then.function(name)
        found.append(Move(name, now.demand, getattr(now.cases, case), getattr(after.cases, case), case))
    return ExpectedEffect(tuple(found))
