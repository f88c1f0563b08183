"""Effect of changes of the plant data on one function, as steps from one valid plant to the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from checks.assessment.assessment import Assessment
from checks.comparison.differences import DataFact, Raw
from checks.comparison.minimal_plant import Unit, View, in_turn
from checks.comparison.steps import Step, step
from checks.plantfile.plant import ids_in

SAYS_ONLY = (
    "name",
    "tags",
    "note",
    "source",
    "covers",
    "lambda_s_fit",
    "error_factor",
    "type",
    "field_data",
    "confidence",
    "systematic_capability",
    "sc",
    "observed_since",
    "target_rrf",
    "target_pfh",
    "target_sil",
    "demand_zone",
    "demand",
)
"""Fields that enter no result of a function. (If the demand mode differs, there are no steps at all.)"""

NAMES = {"groups": "groups", "channels": "devices", "zone": "zones"}
"""Fields with ids of entities in another block."""


def _ids(value: Any) -> tuple[str, ...]:
    """Ids in the value of a field: none, one, a list, a list of lists, a redundant element, or entries of a function."""
    if value is None or isinstance(value, str):
        return (value,) if value else ()
    if isinstance(value, Mapping):
        return _ids(value["of"]) if "of" in value else ids_in(value)
    return tuple(name for entry in value for name in _ids(entry))


def _listed(value: Any, field: str) -> set[str]:
    """Ids in a field, from its value or from the entity that has it."""
    return set(_ids(value.get(field) if isinstance(value, Mapping) else value))


@dataclass(frozen=True, slots=True)
class _Near:
    """Groups of a function in either state, the functions that use them, and the systems of these functions."""

    groups: frozenset[str]
    functions: frozenset[str]
    systems: frozenset[str]

    @classmethod
    def of(cls, function: str, states: Sequence[Assessment]) -> _Near:
        groups = {key for state in states for key in state.plant.functions[function].group_ids}
        functions = {name for state in states for key in groups for name in state.links.uses.get(key, ())}
        owners = [state.links.system_of_function for state in states]
        systems = {owner[name] for owner in owners for name in functions if name in owner}
        return cls(frozenset(groups), frozenset(functions), frozenset(systems))


class PlantSteps:
    """Steps of plant data for one function at a time, with the answers of the old state."""

    def __init__(self, old: Assessment, new: Assessment, data: tuple[Raw, Raw], facts: Sequence[DataFact]) -> None:
        self._states, (self._before, self._after) = (old, new), data
        self._facts: dict[tuple[Any, ...], list[tuple[int, DataFact]]] = {}
        for at, fact in enumerate(facts):
            self._facts.setdefault(fact.at[:2], []).append((at, fact))
        # Entities of either plant: one that only the new plant has is there before a fact names it, an old one to the end.
        self._entries = {block: {**self._after[block], **self._before[block]} for block in ("devices", "groups")}

    def of(self, function: str) -> Iterator[Step]:
        """Steps of a function that both plants have, with the same demand mode."""
        near = _Near.of(function, self._states)
        units = self._units(function, near)
        if not units:
            return
        old, first = self._states[0], self._first(function, near)
        began = before = old.function(function).cases.adjusted
        for bundle, view in in_turn(first, units):
            after, alone = view.result(old.answers), first.plus(bundle)
            gain_alone = began / alone.result(old.answers) if alone.fits else None
            facts = tuple(fact for unit in bundle for fact in unit.facts)
            plant_step = step(facts, before, after, gain_alone)
            if plant_step is not None:
                before = plant_step.after
                yield plant_step

    def _first(self, function: str, near: _Near) -> View:
        before = self._before
        functions = {key: entry for key, entry in before["functions"].items() if key in near.functions}
        systems = {key: entry for key, entry in before["systems"].items() if key in near.systems}
        others = {"conventions": before["conventions"], "functions": functions, "systems": systems}
        return View(function, {**self._entries, **others}, self._sharing(near))

    def _sharing(self, near: _Near) -> dict[str, tuple[str, ...]]:
        """Systems that share a group but are in the plant by name only, as in the basis of one system."""
        sharing: dict[str, tuple[str, ...]] = {}
        for state in self._states:
            for key in near.groups & state.links.systems_of.keys():
                cut = (name for name in state.links.systems_of[key] if not state.plant.systems[name].functions)
                sharing.setdefault(key, tuple(cut))
        return sharing

    def _units(self, function: str, near: _Near) -> list[Unit]:
        """Facts that can change a function, in order. Changes of the sharing of its groups are one unit before its group list."""
        units: list[Unit] = []
        last: list[Unit] = []
        shared: list[DataFact] = []
        for fact in self._around(near):
            block, field = fact.at[0], fact.at[-1]
            if block == "systems" or (block == "functions" and fact.at[1] != function):
                if _shares(fact, near):
                    shared.append(fact)
            elif not fact.whole and field not in SAYS_ONLY:
                unit = Unit((fact, *self._named(fact)), ((fact.at, fact.new),))
                (last if block == "functions" else units).append(unit)
        if shared:
            others = [("functions", key) for key in near.functions - {function}]
            others += [("systems", key) for key in near.systems]
            units.append(Unit(tuple(shared), tuple((at, self._after[at[0]].get(at[1])) for at in others)))
        return units + last

    def _around(self, near: _Near) -> list[DataFact]:
        """Facts of the conventions and of all entities near a function, in order."""
        channels = [self._entries["groups"][key]["channels"] for key in near.groups]
        channels += [group["channels"] for key in near.groups if (group := self._after["groups"].get(key))]
        keys = [("conventions", name) for name in self._before["conventions"]]
        inside = (("devices", set(_ids(channels))), ("groups", near.groups), ("functions", near.functions))
        for block, ids in (*inside, ("systems", near.systems)):
            keys += [(block, key) for key in ids]
        ordered = sorted((placed for key in keys for placed in self._facts.get(key, ())), key=lambda placed: placed[0])
        return [fact for _, fact in ordered]

    def _named(self, fact: DataFact) -> Iterator[DataFact]:
        """Added or removed entities that a fact names."""
        field = str(fact.at[-1])
        if field in NAMES:
            yield from self._entities(field, (fact.old, fact.new))

    def _entities(self, field: str, values: Any) -> Iterator[DataFact]:
        for key in dict.fromkeys(_ids(values)):
            for _, fact in self._facts.get((NAMES[field], key), ()):
                if fact.whole:
                    yield fact
                    entity = fact.new or fact.old
                    for inner in ("channels", "zone"):
                        yield from self._entities(inner, entity.get(inner))


def _shares(fact: DataFact, near: _Near) -> bool:
    """Whether a fact changes which functions share the groups of a function, or the system of these functions."""
    field, ids = ("functions", near.functions) if fact.at[0] == "systems" else ("groups", near.groups)
    changed = _listed(fact.old, field) ^ _listed(fact.new, field) if fact.whole or fact.at[-1] == field else set()
    return not changed.isdisjoint(ids)
