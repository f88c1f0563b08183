"""The smallest plant file that gives one function the same result."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.assessment.editions import METHOD_EDITIONS, Editions, of_numbers, with_groups
from checks.assessment.links import Links
from checks.comparison.differences import DataFact, Raw
from checks.plantfile import consistency
from checks.plantfile.plain_data import devices_in
from checks.plantfile.plant import Plant, ids_in
from checks.questions.bank import UnknownEdition
from checks.text.yaml_text import Place
from scoring.methods.registry import UnknownMethod


@dataclass(frozen=True, slots=True)
class Unit:
    """Facts that are always applied together, and the values that they put at places of the plain data."""

    facts: tuple[DataFact, ...]
    puts: tuple[tuple[Place, Any], ...]


def _put(data: Raw, at: Place, value: Any) -> dict[str, Any]:
    """Plain data with another value at one place."""
    key = str(at[0])
    return {**data, key: value if len(at) == 1 else _put(data[key], at[1:], value)}


@dataclass(frozen=True, slots=True)
class View:
    """One function in an intermediate state of two plants. ``data`` may have more entities than the function uses.

    ``sharing`` names, by group, systems that share it but are not in the plants; only the links know them.
    """

    function: str
    data: Raw
    sharing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def file(self) -> dict[str, Any]:
        """Plant file with the function, its groups, and the functions and systems that share them.

        Zones of demands are left out: they enter no result.
        """
        data = self.data
        own = data["functions"][self.function]
        groups = {name: data["groups"][name] for entry in own["groups"] for name in ids_in(entry)}
        functions = {
            key: {**function, "groups": own["groups"] if key == self.function else shared, "demand_zone": None}
            for key, function in data["functions"].items()
            if function
            and (shared := [name for entry in function["groups"] for name in ids_in(entry) if name in groups])
        }
        systems = {
            key: {"functions": [name for name in system["functions"] if name in functions]}
            for key, system in data["systems"].items()
            if system
        }
        named = dict.fromkeys(device for group in groups.values() for device in devices_in(group["channels"]))
        return {
            "format": max(METHOD_EDITIONS),
            "plant": {"name": self.function},
            "conventions": {name: value for name, value in data["conventions"].items() if name != "editions"},
            "devices": {key: data["devices"][key] for key in named},
            "zones": {group["zone"]: {} for group in groups.values() if group["zone"] is not None},
            "groups": groups,
            "systems": systems,
            "functions": functions,
        }

    @property
    def fits(self) -> bool:
        """Whether this is a valid plant file."""
        try:
            self._editions()
        except (UnknownMethod, UnknownEdition):
            return False
        return next(consistency.faults(self.file()), None) is None

    def _editions(self) -> Editions:
        conventions = self.data["conventions"]
        return of_numbers(conventions, conventions["editions"])

    def plus(self, units: Iterable[Unit]) -> View:
        """The state with these units applied."""
        data = self.data
        for unit in units:
            for at, value in unit.puts:
                data = _put(data, at, value)
        return View(self.function, data, self.sharing)

    def result(self, answers: Answers) -> float:
        """Result of the function with cyber scenario, with these answers: PFDavg in low, PFH [1/h] in high demand."""
        plant = Plant.model_validate(self.file())
        known = Links(plant)
        for key, systems in known.systems_of.items():
            known.systems_of[key] = (*systems, *self.sharing.get(key, ()))
        used = with_groups(self._editions(), plant)
        return Assessment(plant, answers, links=known, editions=used).function(self.function).cases.adjusted


def in_turn(first: View, units: Iterable[Unit]) -> Iterator[tuple[tuple[Unit, ...], View]]:
    """Units in order, and the state after each. A unit that makes the plant invalid waits for one that makes it valid.

    All units together give a valid plant, so none is left waiting.
    """
    view, todo, waiting = first, deque(units), list[Unit]()
    while todo:
        unit = todo.popleft()
        fitting = _fitting(view, waiting, unit)
        if fitting is None:
            waiting.append(unit)
        else:
            bundle, view = fitting
            todo.extendleft(waiting_unit for waiting_unit in reversed(waiting) if waiting_unit not in bundle)
            waiting = []
            yield bundle, view


def _fitting(view: View, waiting: list[Unit], unit: Unit) -> tuple[tuple[Unit, ...], View] | None:
    """The unit with one waiting unit, with all waiting units, or alone, and the state after; None where it must wait."""
    for bundle in (*((waiting_unit, unit) for waiting_unit in waiting), (*waiting, unit), (unit,)):
        after = view.plus(bundle)
        if after.fits:
            return bundle, after
    return None
