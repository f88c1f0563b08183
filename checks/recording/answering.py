"""Recording one answer: it is checked, it may change nothing, or somebody else may have been first."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from checks.access.roles import Person
from checks.events.answering import answer
from checks.events.answering.answer import StoredAnswer, same_answer, slot, stored
from checks.journal.conflicts import Overtaken
from checks.plantfile import consistency
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Answer, Asked, Plant
from checks.recording import recorder, teams
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


class AnsweredMeanwhile(RuntimeError):
    """Somebody else answered the same question of the same addressee after it was shown here; ``theirs`` is what holds."""

    def __init__(self, theirs: Answer) -> None:
        self.theirs = theirs
        who = theirs.by or "somebody"
        super().__init__(
            f"{who} answered this first: {theirs.value}. Yours was not stored; "
            "check theirs, and answer again if you disagree"
        )


def checked(plant: Plant, fields: dict[str, Any]) -> Answer:
    """The answer of these fields; raises Refused with every fault of it."""
    try:
        result = Answer.model_validate(fields)
    except ValidationError as error:
        raise Refused("answer", [type_fault(fault)[1] for fault in error.errors(include_url=False)]) from error
    blocks: dict[str, dict[str, Any]] = {
        "systems": dict(plant.systems),
        "groups": dict(plant.groups),
        "zones": dict(plant.zones),
    }
    wrong = [Fault(field, found, allowed) for field, found, allowed in consistency.answer_faults(fields, blocks)]
    if wrong:
        raise Refused("answer", wrong)
    return result


def record(live: Live, person: Person, fields: dict[str, Any], *, seen: int) -> StoredAnswer:
    """Check a person's answer and append it; returns the answer that holds then.

    ``seen`` is the number of the answer that the person had on screen, 0 for none. An answer that says what holds
    already is not stored again: the one that holds is returned, somebody else's too. Raises NotAllowed, Refused,
    AnsweredMeanwhile or StoreUnavailable.
    """
    state = live.state()
    person.must(answer.Body.PERMISSION)
    given = checked(state.plant, {**fields, "by": person.name})
    teams.must(state, person, answer.Body.PERMISSION, [given.of])
    asked = given.question, given.of
    if _says_nothing_new(state, asked, given):
        return state.stored[asked]
    body = answer.Body(**given.model_dump())
    try:
        event = recorder.record(live, person, body, slot=slot(*asked), follows=_follows(state, asked, person, seen))
    except Overtaken as error:
        raise AnsweredMeanwhile(live.state().stored.get(asked, stored(error.theirs)).answer) from error
    return stored(event)


def _says_nothing_new(state: State, asked: Asked, given: Answer) -> bool:
    """Whether the same answer holds already and nothing asks for it to be given again."""
    holds = state.given(asked)
    to_take_up = asked in state.records.anew or asked in state.records.to_confirm
    return holds is not None and not to_take_up and same_answer(holds, given)


def _follows(state: State, asked: Asked, person: Person, seen: int) -> int:
    """Number of the answer that this one follows.

    One's own earlier change, sent in the same breath, is no conflict; nor is an answer that a blind round hides.
    """
    holds = state.stored.get(asked)
    own = holds is not None and (asked in state.records.anew or holds.writer == person.writer != "")
    return holds.id if holds is not None and own else seen
