"""A set of answers and changes made into recorded actions, one each: what would be recorded, and the recording."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from checks.access.roles import NotAllowed, Person
from checks.actions import action_rules, recorded_actions
from checks.allowed_changes import change, fitting
from checks.allowed_changes.change import GroupChange
from checks.events.plant.action import Action
from checks.improvement.group_model import Step
from checks.journal.event import Event
from checks.recording import teams
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.text.number_format import NONE
from checks.visibility import redaction


@dataclass(frozen=True, slots=True)
class Offer:
    """An answer to improve or a change to make as an action: its text, the open action for it, and why it may not be recorded.

    ``value`` and ``expected`` are the present answer or value, and the one that the action should bring.
    """

    step: Step
    what: str
    value: str
    expected: str
    open_action: str
    refused: str

    @property
    def free(self) -> bool:
        """Whether it can be recorded."""
        return not self.open_action and not self.refused


def open_actions(state: State) -> dict[Step, str]:
    """Ids of actions that have not ended, by the questions that they should improve and the changes that they make."""
    known: dict[Step, str] = {}
    for action in recorded_actions.held(state).values():
        if action.state not in action_rules.ENDED:
            known.update({(asked.question, asked.of): action.id for asked in action.questions}.items())
            if action.plant_change is not None:
                known[action.plant_change.allowed] = action.id
    return known


def offers(state: State, person: Person, chosen: Iterable[Step]) -> list[Offer]:
    """What would be recorded for a set."""
    known = open_actions(state)
    return [
        Offer(
            step,
            what(state, step),
            present_value(state, step),
            step.to if isinstance(step, GroupChange) else "met",
            known.get(step, ""),
            _refusal(state, person, step),
        )
        for step in chosen
    ]


def what(state: State, step: Step) -> str:
    """The text of an action: the question, its addressee, and what has to hold; or the change and why it is allowed."""
    if isinstance(step, GroupChange):
        entry = state.records.allowed.get(step)
        reason = f" ({entry.reason})" if entry is not None and entry.reason else ""
        return f"{change.in_words(step, present_value(state, step))}{reason}"[:2000]
    question = state.assessment.banks.questions[step[0]]
    needed = question.action or f"make this so and show it: {question.text}"
    return f"{step[0]} of {step[1]}: {needed}"[:2000]


def present_value(state: State, step: Step) -> str:
    """The value of the present answer as far as the reader sees it, unknown where there is none; what a change replaces."""
    if isinstance(step, GroupChange):
        return change.present(state.plant.groups[step.group], step) or NONE
    answer = state.assessment.answers.get(*step) if step in state.stored else None
    return "unknown" if answer is None else answer.value


def named(step: Step) -> str:
    """An answer to improve or a change, in few words."""
    return str(step) if isinstance(step, GroupChange) else f"{step[0]} of {step[1]}"


def _refusal(state: State, person: Person, step: Step) -> str:
    of = step.of if isinstance(step, GroupChange) else step[1]
    try:
        teams.require(state, person, Action.PERMISSION, [of])
    except NotAllowed as error:
        return str(error)
    return ""


def record(
    live: Live, person: Person, chosen: Sequence[Step], *, owner: str, due: date | None, system: str | None
) -> list[Event]:
    """Record an action for each answer and each change of a set, all or none.

    Raises NotAllowed, and Refused without owner or due date, and where an action is open for one of the answers already.
    """
    person.require(Action.PERMISSION)
    state = live.state()
    known = open_actions(state)
    faults = [
        Fault(named(step), "an action is open for it already", "change that one under Due and open")
        for step in chosen
        if step in known
    ]
    misfits = ((step, fitting.misfit(state.plant, step)) for step in chosen if isinstance(step, GroupChange))
    faults += [Fault(named(step), wrong.found, "load the page again") for step, wrong in misfits if wrong is not None]
    if not chosen:
        faults.append(Fault("actions", "none", "choose answers or changes for which no action is open"))
    if due is None:
        faults.append(Fault("due", "missing", "give the due date"))
    if not owner.strip():
        faults.append(Fault("owner", "missing", "give the action owner, such as a role"))
    if faults:
        raise Refused("actions", faults)
    shown = redaction.seen(state, person)  # a blind round hides the answer that the action should improve
    return recorded_actions.raise_all(
        live,
        person,
        [{**_fields(shown, step), "owner": owner.strip(), "due": due, "system": system} for step in chosen],
    )


def _fields(shown: State, step: Step) -> dict[str, Any]:
    """What an action has to do; ``shown`` is the state as the person sees it."""
    if not isinstance(step, GroupChange):
        asked = {"question": step[0], "of": step[1]}
        present = present_value(shown, step)
        return {"what": what(shown, step), "questions": [asked], "answer_from": present, "answer_to": "met"}
    made = {"group": step.group, "change": step.what, "was": present_value(shown, step), "to": step.to}
    return {"what": what(shown, step), "plant_change": {**made, **({"test": step.test} if step.test else {})}}
