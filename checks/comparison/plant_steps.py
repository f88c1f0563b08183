"""What changes of the plant data did to one function, each as a step from a plant that could stand to the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from checks.assessment.assessment import Assessment
from checks.comparison.differences import DataFact, Raw
from checks.comparison.minimal_plant import Unit, View, in_turn
from checks.comparison.steps import Step, step

SAYS_ONLY = ("name", "tags", "note", "source", "lambda_s_fit", "target_rrf", "target_pfh", "demand")
"""Fields that no result of a function is computed from. (Where the demand differs there are no steps at all.)"""

NAMES = {"groups": "groups", "channels": "devices", "zone": "zones"}
"""Fields that name entities of another block."""


def _ids(value: Any) -> tuple[str, ...]:
    """Ids in the value of a field: none, one, a list, or a list of lists."""
    if value is None or isinstance(value, str):
        return (value,) if value else ()
    return tuple(name for held in value for name in _ids(held))


def _listed(value: Any, field: str) -> set[str]:
    """Ids in a field, given its value or the entity that has it."""
    return set(_ids(value.get(field) if isinstance(value, Mapping) else value))


@dataclass(frozen=True, slots=True)
class _Near:
    """Groups of a function in either state, the functions that use any of them, and these functions' systems."""

    groups: frozenset[str]
    functions: frozenset[str]
    systems: frozenset[str]

    @classmethod
    def of(cls, function: str, states: Sequence[Assessment]) -> _Near:
        groups = {key for one in states for key in one.plant.functions[function].groups}
        functions = {name for one in states for key in groups for name in one.links.uses.get(key, ())}
        owners = [one.links.system_of_function for one in states]
        systems = {owner[name] for owner in owners for name in functions if name in owner}
        return cls(frozenset(groups), frozenset(functions), frozenset(systems))


class PlantSteps:
    """Steps of plant data, one function at a time; the answers stay those of the old state."""

    def __init__(self, old: Assessment, new: Assessment, data: tuple[Raw, Raw], facts: Sequence[DataFact]) -> None:
        self._states, (self._before, self._after) = (old, new), data
        self._facts: dict[tuple[Any, ...], list[tuple[int, DataFact]]] = {}
        for at, fact in enumerate(facts):
            self._facts.setdefault(fact.at[:2], []).append((at, fact))
        # What only the new plant has stands by until it is named; what only the old one has stays to the end.
        self._standing = {block: {**self._after[block], **self._before[block]} for block in ("devices", "groups")}

    def of(self, function: str) -> Iterator[Step]:
        """Steps of a function that both plants have with the same demand."""
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
            made = step(facts, before, after, gain_alone)
            if made is not None:
                before = made.after
                yield made

    def _first(self, function: str, near: _Near) -> View:
        held = self._before
        functions = {key: one for key, one in held["functions"].items() if key in near.functions}
        systems = {key: one for key, one in held["systems"].items() if key in near.systems}
        others = {"conventions": held["conventions"], "functions": functions, "systems": systems}
        return View(function, {**self._standing, **others}, self._sharing(near))

    def _sharing(self, near: _Near) -> dict[str, tuple[str, ...]]:
        """Systems that share a group but are cut out of a plant, with all their functions: the basis of one system."""
        found: dict[str, tuple[str, ...]] = {}
        for one in self._states:
            for key in near.groups & one.links.systems_of.keys():
                cut = (name for name in one.links.systems_of[key] if not one.plant.systems[name].functions)
                found.setdefault(key, tuple(cut))
        return found

    def _units(self, function: str, near: _Near) -> list[Unit]:
        """Facts that can reach a function, in order; who shares its groups is one unit before its own list."""
        units: list[Unit] = []
        own: list[Unit] = []
        shared: list[DataFact] = []
        for fact in self._around(near):
            block, field = fact.at[0], fact.at[-1]
            if block == "systems" or (block == "functions" and fact.at[1] != function):
                if _shares(fact, near):
                    shared.append(fact)
            elif not fact.whole and field not in SAYS_ONLY:
                unit = Unit((fact, *self._named(fact)), ((fact.at, fact.new),))
                (own if block == "functions" else units).append(unit)
        if shared:
            others = [("functions", key) for key in near.functions - {function}]
            others += [("systems", key) for key in near.systems]
            units.append(Unit(tuple(shared), tuple((at, self._after[at[0]].get(at[1])) for at in others)))
        return units + own

    def _around(self, near: _Near) -> list[DataFact]:
        """Facts of the conventions and of every entity near a function, in order."""
        channels = [self._standing["groups"][key]["channels"] for key in near.groups]
        channels += [held["channels"] for key in near.groups if (held := self._after["groups"].get(key))]
        keys = [("conventions", name) for name in self._before["conventions"]]
        inside = (("devices", set(_ids(channels))), ("groups", near.groups), ("functions", near.functions))
        for block, ids in (*inside, ("systems", near.systems)):
            keys += [(block, key) for key in ids]
        found = sorted((one for key in keys for one in self._facts.get(key, ())), key=lambda one: one[0])
        return [fact for _, fact in found]

    def _named(self, fact: DataFact) -> Iterator[DataFact]:
        """Entities that come or go with what a fact names."""
        field = str(fact.at[-1])
        if field in NAMES:
            yield from self._entities(field, (fact.old, fact.new))

    def _entities(self, field: str, values: Any) -> Iterator[DataFact]:
        for key in dict.fromkeys(_ids(values)):
            for _, fact in self._facts.get((NAMES[field], key), ()):
                if fact.whole:
                    yield fact
                    held = fact.new or fact.old
                    for inner in ("channels", "zone"):
                        yield from self._entities(inner, held.get(inner))


def _shares(fact: DataFact, near: _Near) -> bool:
    """Whether a fact says who shares the groups of a function, or in which system they lie."""
    field, ids = ("functions", near.functions) if fact.at[0] == "systems" else ("groups", near.groups)
    changed = _listed(fact.old, field) ^ _listed(fact.new, field) if fact.whole or fact.at[-1] == field else set()
    return not changed.isdisjoint(ids)
