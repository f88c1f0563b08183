"""Plant data that a change may have made wrong, and the systems that rest on them."""

from __future__ import annotations

from checks.plantfile.places import entry_of
from checks.revision import basis
from checks.state.live import State
from checks.state.reopened import DataToCheck


def of_system(state: State, system: str) -> dict[str, DataToCheck]:
    """Places of the plant file that wait to be checked and that a system rests on."""
    if not state.records.data_to_check:
        return {}
    entries = _entries(state, system)
    return {
        place: waiting
        for place, waiting in state.records.data_to_check.items()
        if system in waiting.systems and _rests_on(place, entries)
    }


def systems_of(state: State, waiting: DataToCheck) -> list[str]:
    """Systems of a change that rest on one of its places."""
    present = [system for system in waiting.systems if system in state.plant.systems]
    return [system for system in present if _rests_on(waiting.place, _entries(state, system))]


def _rests_on(place: str, entries: dict[str, set[str]]) -> bool:
    block, entry = entry_of(place)
    return not entry or entry in entries.get(block, ())


def _entries(state: State, system: str) -> dict[str, set[str]]:
    """Entries of each block of the plant file on which a system rests."""
    plant = state.plant
    scope = basis.scope(plant, state.assessment.links, system)
    return {
        "zones": set(scope.zones),
        "groups": set(scope.groups),
        "functions": set(scope.functions),
        "devices": {name for key in scope.groups for name in plant.groups[key].devices},
    }
