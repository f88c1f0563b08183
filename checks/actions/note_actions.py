"""An action from the note of an answer: what a meeting writes down is often what somebody must do."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from checks.access.roles import Person
from checks.actions import recorded_actions
from checks.assessment.answers import FAVOUR
from checks.events.plant.action import Action
from checks.journal.event import Event
from checks.plantfile.plant import Answer, Asked
from checks.questions.bank import banks
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused

DAYS = 90
"""Days until an action from a note is due, unless it is changed (house rule)."""
NOBODY = "to be named"


def raise_from_note(live: Live, person: Person, asked: Asked, *, system: str | None) -> Event:
    """Raise an action with the text of the note of a stored answer, owned by the person and due in ``DAYS`` days.

    Raises NotAllowed, and Refused where the answer has no note, or its note is an action already.
    """
    state = live.state()
    stored = state.stored.get(asked)
    if stored is None or not stored.answer.note.strip():
        fault = Fault("note", f"{asked[0]} of {asked[1]} has no note", "write what is to be done into the note first")
        raise Refused("action", [fault])
    known = raised(state, stored.answer)
    if known is not None:
        raise Refused("action", [Fault("note", f"it is action {known.id} already", "change it under Due and open")])
    fields: dict[str, Any] = {
        "what": _what(stored.answer),
        "owner": person.name.strip() or NOBODY,
        "due": state.day + timedelta(days=DAYS),
        "system": system,
    }
    best = max(banks().questions[asked[0]].answers, key=FAVOUR.__getitem__)
    if FAVOUR[stored.answer.value] < FAVOUR[best]:
        question = {"question": asked[0], "of": asked[1]}
        fields |= {"questions": [question], "answer_from": stored.answer.value, "answer_to": best}
    return recorded_actions.raise_one(live, person, fields)


def raised(state: State, answer: Answer) -> Action | None:
    """The action that was raised from the note of an answer, even if it has ended; None where there is none."""
    what = _what(answer)
    return next((action for action, _ in state.records.actions.values() if action.what == what), None)


def _what(answer: Answer) -> str:
    """The text of the action: the question and its addressee, and the note."""
    return f"{answer.question} of {answer.of}: {' '.join(answer.note.split())}"[:2000]
