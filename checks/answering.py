"""One answer, from a person's hand to the store: checked here whatever the screen has checked already."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from checks import links
from checks.faults import Fault, Refused
from checks.live import Live
from checks.plant import Answer, Plant
from checks.plant_file import type_fault
from checks.store.store import Stored


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
    wrong = [Fault(field, found, allowed) for field, found, allowed in links.answer_faults(fields, blocks)]
    if wrong:
        raise Refused("answer", wrong)
    return answer


def record(live: Live, fields: dict[str, Any], *, seen: int, writer: str) -> Stored:
    """Check an answer and append it; raises Refused, AnsweredMeanwhile or StoreUnavailable."""
    answer = checked(live.state().plant, fields)
    return live.store.save(live.key, answer, seen=seen, writer=writer)
