"""The beta method of one group, chosen with a reason: what it changes before it is stored, and its storing as plant data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from checks.access.roles import Person
from checks.assessment.results import Betas, FunctionResult
from checks.assessment.verdicts import CASES
from checks.journal.event import Event
from checks.plant_tables import preview
from checks.plant_tables.preview import Preview
from checks.plantfile import plant_file
from checks.plantfile.equipment import GroupConventions
from checks.plantfile.plant import Plant
from checks.recording import plant_setup
from checks.state.live import Live, State
from checks.text.faults import Refused
from scoring.methods import registry


@dataclass(frozen=True, slots=True)
class Consequences:
    """What another method does: the betas of the group before and after, verdicts that change, and all else of the change.

    ``verdicts`` are functions, each with the case and whether its target is met then.
    """

    before: Betas | None
    after: Betas | None
    verdicts: tuple[tuple[str, str, bool], ...]
    preview: Preview


def choices(plant: Plant, group: str) -> tuple[str, ...]:
    """Ids of the methods that a group may have of its own: another one than that of the plant."""
    return tuple(
        id_ for id_ in registry.betas_of_part(plant.groups[group].part) if id_ != plant.conventions.beta_method
    )


def chosen(plant: Plant, group: str) -> tuple[str, str]:
    """The own method of a group and its reason; two empty texts where it has the plant's."""
    own = plant.groups[group].conventions
    return ("", "") if own is None or own.beta_method is None else (own.beta_method, own.beta_method_reason)


def with_method(plant: Plant, group: str, method: str, reason: str) -> Plant:
    """The plant with a method of the group's own, or with that of the plant for an empty ``method``; nothing is checked."""
    before = plant.groups[group]
    update = {"beta_method": method or None, "beta_method_reason": reason.strip() if method else ""}
    own = (before.conventions or GroupConventions()).model_copy(update=update)
    after = before.model_copy(update={"conventions": None if own == GroupConventions() else own})
    return plant.model_copy(update={"groups": {**plant.groups, group: after}})


def consequences(state: State, group: str, method: str, reason: str) -> Consequences:
    """What a method of a group does before it is stored."""
    plant = with_method(state.plant, group, method, reason)
    now, then = state.assessment, state.assessment.with_plant(plant)
    return Consequences(
        now.group(group).betas,
        then.group(group).betas,
        tuple(
            verdict for name in now.links.uses[group] for verdict in _verdicts(now.function(name), then.function(name))
        ),
        preview.preview(state, plant),
    )


def _verdicts(now: FunctionResult, then: FunctionResult) -> Iterator[tuple[str, str, bool]]:
    for case, words in CASES.items():
        if now.meets(case) != then.meets(case):
            yield now.id, words, then.meets(case)


def choose(live: Live, person: Person, group: str, method: str, reason: str, *, seen: int) -> Event:
    """Store a method of a group's own, or that of the plant again for an empty ``method``, as a change of plant data.

    ``seen`` is the number of the plant-data event that was on screen. Raises Refused for a method that the group cannot have and
    for one without a reason, and what ``plant_setup.save`` raises.
    """
    plant = with_method(live.state().plant, group, method, reason)
    checked, faults, _ = plant_file.entered(plant_file.plain(plant))
    if checked is None:
        raise Refused("method", [fault for _, fault in faults])
    return plant_setup.save(live, person, checked, seen=seen)
