"""Actions that should improve answers: what to do, by whom, until when, and how each ended.

Closing takes evidence and a verifier other than the action owner. It changes no answer: it lists the questions to answer
again, and a result changes only when one of them is answered with evidence.
"""

from __future__ import annotations

import secrets
from collections import Counter
from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic import ValidationError

from checks.access.name_entry import all_faults
from checks.access.names import same
from checks.allowed_changes import fitting
from checks.allowed_changes.change import changed_plant
from checks.assessment.answers import FAVOUR
from checks.assessment.assessment import MOVES, Assessment
from checks.events.plant.action import Action, Asked, State
from checks.plantfile.consistency import answer_faults
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from checks.text.faults import Fault, Refused

ENDED = ("closed", "dropped")


DRAWN, LAST = 500_000, 999_999
"""Ids from ``DRAWN`` to ``LAST`` are drawn at random; those below are counted."""


def next_id(existing: Iterable[str]) -> str:
    """The id after the highest one that was counted; ``existing`` includes ended actions, since no id is used twice.

    >>> next_id([]), next_id(["A-001", "A-011"]), next_id(["A-999", "A-650123"])
    ('A-001', 'A-012', 'A-1000')
    """
    numbers = (int(key.removeprefix("A-")) for key in existing)
    return f"A-{max((number for number in numbers if number < DRAWN), default=0) + 1:03d}"


def drawn_id(existing: Container[str]) -> str:
    """A free id that says nothing of the others, for somebody who may not see all actions of the plant."""
    while (key := f"A-{DRAWN + secrets.randbelow(LAST - DRAWN + 1)}") in existing:
        pass
    return key


def check(action: Action, plant: Plant | None = None) -> list[Fault]:
    """All faults of an action, each with the name of its field; with a plant also references that it does not have."""
    return [*_question_faults(action, plant), *_date_faults(action), *_state_faults(action)]


def name_faults(action: Action, before: Action | None = None) -> list[Fault]:
    """Faults of the names that an action has now and had not ``before``: names that are recorded stay."""
    known = (before.owner, before.verifier) if before else ()
    typed = (("owner", action.owner), ("verifier", action.verifier))
    return all_faults((place, name) for place, name in typed if name not in known)


def _question_faults(action: Action, plant: Plant | None) -> Iterator[Fault]:
    for asked, count in Counter(action.questions).items():
        if count > 1:
            yield Fault("questions", f"{asked} occurs {count} times", "each once")
        question = banks().questions.get(asked.question)
        if question is None:
            yield Fault("questions", f"{asked.question} is in no bank", "ids as in the banks: SEP1, Z01, SR 1.1 …")
        elif action.answer_to not in question.answers:
            what = f"{action.answer_to} does not answer {asked.question}"
            yield Fault("answer_to", what, f"allowed: {', '.join(question.answers)}")
        elif plant is not None:
            blocks: dict[str, dict[str, Any]] = {
                "systems": dict(plant.systems),
                "groups": dict(plant.groups),
                "zones": dict(plant.zones),
            }
            for _, found, allowed in answer_faults(asked.model_dump(), blocks):
                yield Fault("questions", found, allowed)
    if action.questions and FAVOUR[action.answer_to] <= FAVOUR[action.answer_from]:
        why = f"{action.answer_to} is no better than {action.answer_from}"
        yield Fault("answer_to", why, "an answer that is better than the present answer")
    if plant is not None and action.system is not None and action.system not in plant.systems:
        known = ", ".join(plant.systems) or "none"
        yield Fault("system", f"{action.system} is not among the systems", f"known systems: {known}")


def _date_faults(action: Action) -> Iterator[Fault]:
    for name in ("due", "closed_on"):
        day = getattr(action, name)
        if day is not None and day < action.raised_on:
            yield Fault(name, f"{day} is before {action.raised_on}", "the day it was raised, or later")


def _state_faults(action: Action) -> Iterator[Fault]:
    for name in ("what", "owner", "raised_by"):
        if not getattr(action, name).strip():
            yield Fault(name, "empty", "describe it in words")
    needed = {"closed": ("evidence", "closed_on", "verifier"), "dropped": ("reason", "closed_on")}
    for name in needed.get(action.state, ()):
        value = getattr(action, name)
        if value is None or not str(value).strip():
            yield Fault(name, "missing", f"an action is not {action.state} without it")
    only = {"reason": ("dropped",), "verifier": ("closed",), "closed_on": ENDED}
    for name, states in only.items():
        if getattr(action, name) and action.state not in states:
            yield Fault(name, f"given, but the action is {action.state}", f"only where it is {' or '.join(states)}")
    if action.verifier and same(action.verifier, action.owner):
        yield Fault("verifier", f"{action.verifier} owns the action", "somebody other than the action owner")


@dataclass(frozen=True, slots=True)
class Closing:
    """A closed action and the questions to answer again. It changes no answer."""

    action: Action
    take_up: tuple[Asked, ...]


def closed(action: Action, *, evidence: str, verifier: str, on: date) -> Closing:
    """The closed action; raises Refused without evidence, or where the verifier is its owner."""
    after = _updated(action, state="closed", evidence=evidence, verifier=verifier, closed_on=on)
    return Closing(after, after.questions)


def done(action: Action, *, evidence: str) -> Action:
    """The action as done, awaiting verification; raises Refused without evidence, or where it has ended."""
    if not evidence.strip():
        raise Refused(action.id, [Fault("evidence", "missing", "give the evidence of completion")])
    return _updated(action, state="done", evidence=evidence)


def dropped(action: Action, *, reason: str, on: date) -> Action:
    """The dropped action; raises Refused without a reason, or where it has ended."""
    return _updated(action, state="dropped", reason=reason, closed_on=on)


def reopened(action: Action) -> Action:
    """The action open again, with one more reopening counted. The evidence of its closing stays in the journal."""
    cleared = {"reason": "", "evidence": "", "verifier": "", "closed_on": None}
    return _updated(action, state="open", reopened=action.reopened + 1, **cleared)


def _updated(action: Action, *, state: State, **fields: Any) -> Action:
    if state == action.state or (state != "open" and action.state in ENDED):
        raise Refused(action.id, [Fault("state", f"it is {action.state} already", "reopen an ended action first")])
    try:
        after = Action.model_validate({**action.model_dump(), "state": state, **fields})
    except ValidationError as error:
        raise Refused(action.id, [type_fault(detail)[1] for detail in error.errors(include_url=False)]) from error
    wrong = check(after)
    if wrong:
        raise Refused(action.id, wrong)
    return after


def age(action: Action, today: date) -> int:
    """Days from raising to today, or to the day on which it ended."""
    return ((action.closed_on or today) - action.raised_on).days


def overdue(action: Action, today: date) -> bool:
    """Whether its due day has passed and it is neither closed nor dropped."""
    return action.state not in ENDED and today > action.due


@dataclass(frozen=True, slots=True)
class Move:
    """PFDavg (low demand) or PFH [1/h] (high demand) of a function: ``now``, and ``then`` with the expected answers.

    ``case`` is ``scored`` where the action concerns only common-cause questions, else ``adjusted``.
    """

    function: str
    demand: str
    now: float
    then: float
    case: str

    @property
    def moved(self) -> bool:
        """Whether it changes by at least ``MOVES``, the smallest relative change that is reported."""
        return abs(self.then - self.now) >= MOVES * self.now


@dataclass(frozen=True, slots=True)
class ExpectedEffect:
    """The functions that the questions and the change of an action affect. A forecast: it changes no answer."""

    functions: tuple[Move, ...]

    @property
    def moved(self) -> tuple[Move, ...]:
        """Functions that change, largest gain first."""
        return tuple(sorted((move for move in self.functions if move.moved), key=lambda move: move.then / move.now))


def expected_effect(action: Action, assessment: Assessment) -> ExpectedEffect:
    """Expected effect on each function; what the plant no longer has, or has already, is left out."""
    plant, links = assessment.plant, assessment.links
    addressees = {
        "plant",
        *(f"{kind}:{key}" for kind in ("system", "group", "zone") for key in getattr(plant, f"{kind}s")),
    }
    reachable = [asked for asked in action.questions if asked.of in addressees]
    then = assessment.with_answers(
        Answer(question=asked.question, of=asked.of, value=action.answer_to) for asked in reachable
    )
    groups = {key for asked in reachable for key in links.groups_of(asked.of)}
    change = None if action.plant_change is None else action.plant_change.allowed
    if change is not None and fitting.misfit(plant, change) is None:
        then = then.with_plant(changed_plant(plant, [change]))
        groups.add(change.group)
    reached = {name for key in groups for name in links.uses[key]}
    security = (assessment.banks.cyber, assessment.banks.requirements)
    case = "adjusted" if any(asked.question in bank for asked in reachable for bank in security) else "scored"
    moves = []
    for name in (name for name in plant.functions if name in reached):
        before, after = assessment.function(name), then.function(name)
        moves.append(Move(name, before.demand, getattr(before.cases, case), getattr(after.cases, case), case))
    return ExpectedEffect(tuple(moves))
