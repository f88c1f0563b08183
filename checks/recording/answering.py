"""Recording one answer: checked, skipped if it changes nothing, refused if somebody else answered meanwhile."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from checks.access.roles import Person
from checks.events.answering import answer, answer_taken_back
from checks.events.answering.answer import StoredAnswer, same_answer, slot, stored
from checks.journal.errors import Overtaken
from checks.plantfile import consistency
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Answer, Asked, Plant
from checks.recording import recorder, teams
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


class AnsweredMeanwhile(RuntimeError):
    """Somebody else changed the same answer after it was shown here.

    ``theirs`` is the stored answer; None where somebody took back the only one.
    """

    def __init__(self, theirs: Answer | None, by: str = "") -> None:
        self.theirs = theirs
        if theirs is None:
            super().__init__(f"{by or 'Somebody'} took the answer back meanwhile. Yours was not stored; answer again")
            return
        who = theirs.by or "somebody"
        super().__init__(
            f"{who} answered this first: {theirs.value}. Yours was not stored; "
            "check theirs, and answer again if you disagree"
        )


def checked(plant: Plant, fields: dict[str, Any]) -> Answer:
    """The answer in these fields; raises Refused with every fault."""
    try:
        result = Answer.model_validate(fields)
    except ValidationError as error:
        raise Refused("answer", [type_fault(fault)[1] for fault in error.errors(include_url=False)]) from error
    blocks: dict[str, dict[str, Any]] = {
        "systems": dict(plant.systems),
        "groups": dict(plant.groups),
        "zones": dict(plant.zones),
    }
    faults = [Fault(field, found, allowed) for field, found, allowed in consistency.answer_faults(fields, blocks)]
    if faults:
        raise Refused("answer", faults)
    return result


def record(live: Live, person: Person, fields: dict[str, Any], *, seen: int) -> StoredAnswer:
    """Check a person's answer and append it; returns the answer that is stored afterwards.

    ``seen`` is the number of the answer that the person had on screen, 0 for none. An answer equal to the stored one is
    not stored again, unless it waits to be confirmed or answered again: the stored one is returned, even if it is
    somebody else's. Raises NotAllowed, Refused,
    AnsweredMeanwhile or StoreUnavailable.
    """
    state = live.state()
    person.require(answer.Body.PERMISSION)
    typed = checked(state.plant, {**fields, "by": person.name})
    teams.require(state, person, answer.Body.PERMISSION, [typed.of])
    asked = typed.question, typed.of
    if _same_as_current(state, asked, typed):
        return state.stored[asked]
    body = answer.Body(**typed.model_dump())
    try:
        follows = _follows(live, state, asked, person, seen=seen)
        event = recorder.record(live, person, body, slot=slot(*asked), follows=follows)
    except Overtaken as error:
        raise overtaken(live, asked, error) from error
    return stored(event)


def overtaken(live: Live, asked: Asked, error: Overtaken) -> AnsweredMeanwhile:
    """The refusal of a change to an answer that somebody else changed meanwhile."""
    theirs = live.state().stored.get(asked)
    return AnsweredMeanwhile(theirs.answer if theirs else None, error.theirs.by)


def _same_as_current(state: State, asked: Asked, typed: Answer) -> bool:
    """Whether the same answer is stored already and need not be given again."""
    current = state.answer_to_repeat(asked)
    to_answer_again = asked in state.records.to_answer_again or asked in state.records.to_confirm
    return current is not None and not to_answer_again and same_answer(current, typed)


def _taken_back(live: Live, asked: Asked) -> int:
    """Number of the event that took back the only answer; 0 where there was none, or another one came since."""
    events = live.store.events(live.key, slot=slot(*asked))
    if not events or events[-1].kind != answer_taken_back.Body.KIND or answer_taken_back.stored(events[-1]) is not None:
        return 0
    return events[-1].seq


def _follows(live: Live, state: State, asked: Asked, person: Person, *, seen: int) -> int:
    """Number of the answer that this one follows.

    The person's own last change is no conflict, as a screen may send two at once; nor is an answer hidden by a blind
    round. Where no answer stands and none was seen, an answer that was taken back is followed.
    """
    current = state.stored.get(asked)
    if current is None and not seen:
        return _taken_back(live, asked)
    own = current is not None and (asked in state.records.to_answer_again or current.writer == person.writer != "")
    return current.id if current is not None and own else seen
