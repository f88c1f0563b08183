"""A set of answers to improve made into recorded actions, each with its question: what would be recorded, and the recording."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from checks.access.roles import NotAllowed, Person
from checks.actions import action_rules, recorded_actions
from checks.events.plant.action import Action
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.recording import teams
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.visibility import redaction


@dataclass(frozen=True, slots=True)
class Offer:
    """An answer to improve as an action: its text, the action that is open for it already, and why it may not be recorded."""

    asked: Asked
    what: str
    value: str
    open_action: str
    refused: str

    @property
    def free(self) -> bool:
        """Whether it can be recorded."""
        return not self.open_action and not self.refused


def open_actions(state: State) -> dict[Asked, str]:
    """Ids of actions that have not ended, by the questions that they should improve."""
    under_way = (each for each in recorded_actions.held(state).values() if each.state not in action_rules.ENDED)
    return {(asked.question, asked.of): action.id for action in under_way for asked in action.questions}


def offers(state: State, person: Person, chosen: Iterable[Asked]) -> list[Offer]:
    """What would be recorded for a set."""
    known = open_actions(state)
    return [
        Offer(
            asked,
            what(state, asked),
            present_value(state, asked),
            known.get(asked, ""),
            _refusal(state, person, asked),
        )
        for asked in chosen
    ]


def what(state: State, asked: Asked) -> str:
    """The text of an action: the question, its addressee, and what has to hold."""
    question = state.assessment.banks.questions[asked[0]]
    needed = question.action or f"make this so and show it: {question.text}"
    return f"{asked[0]} of {asked[1]}: {needed}"[:2000]


def present_value(state: State, asked: Asked) -> str:
    """The value of the present answer as far as the reader sees it; unknown where there is none."""
    answer = state.assessment.answers.get(*asked) if asked in state.stored else None
    return "unknown" if answer is None else answer.value


def _refusal(state: State, person: Person, asked: Asked) -> str:
    try:
        teams.require(state, person, Action.PERMISSION, [asked[1]])
    except NotAllowed as error:
        return str(error)
    return ""


def record(
    live: Live, person: Person, chosen: Sequence[Asked], *, owner: str, due: date | None, system: str | None
) -> list[Event]:
    """Record an action for each answer of a set, all or none.

    Raises NotAllowed, and Refused without owner or due date, and where an action is open for one of the answers already.
    """
    person.require(Action.PERMISSION)
    state = live.state()
    known = open_actions(state)
    faults = [
        Fault(f"{asked[0]} of {asked[1]}", "an action is open for it already", "change that one under Due and open")
        for asked in chosen
        if asked in known
    ]
    if not chosen:
        faults.append(Fault("actions", "none", "choose answers for which no action is open"))
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
        [
            {
                "what": what(state, asked),
                "questions": [{"question": asked[0], "of": asked[1]}],
                "answer_from": present_value(shown, asked),
                "answer_to": "met",
                "owner": owner.strip(),
                "due": due,
                "system": system,
            }
            for asked in chosen
        ],
    )
