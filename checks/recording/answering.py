"""One answer, from a person's hand to the store: checked here whatever the screen has checked already."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from checks.access.roles import Person
from checks.journal.stored import Stored
from checks.plantfile import consistency
from checks.plantfile.messages import type_fault
from checks.plantfile.plant import Answer, Plant
from checks.recording import teams
from checks.state.live import Live
from checks.text.faults import Fault, Refused


def checked(plant: Plant, fields: dict[str, Any]) -> Answer:
    """The answer of these fields; raises Refused with every fault of it."""
    try:
        answer = Answer.model_validate(fields)
    except ValidationError as error:
        raise Refused("answer", [type_fault(one)[1] for one in error.errors(include_url=False)]) from error
    blocks: dict[str, dict[str, Any]] = {
        "systems": dict(plant.systems),
        "groups": dict(plant.groups),
        "zones": dict(plant.zones),
    }
    wrong = [Fault(field, found, allowed) for field, found, allowed in consistency.answer_faults(fields, blocks)]
    if wrong:
        raise Refused("answer", wrong)
    return answer


def record(live: Live, person: Person, fields: dict[str, Any], *, seen: int) -> Stored:
    """Check a person's answer and append it; raises NotAllowed, Refused, AnsweredMeanwhile or StoreUnavailable."""
    now = live.state()
    person.must("answer a question")
    answer = checked(now.plant, {**fields, "by": person.name})
    teams.must(now, person, "answer a question", [answer.of])
    at = live.clock().isoformat(timespec="milliseconds")
    return live.store.save(live.key, answer, seen=seen, writer=person.writer, identity=person.identity, at=at)
