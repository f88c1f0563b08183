"""What one function depends on in a plant: the smallest plant file that gives it the same result."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment, Links
from checks.assessment.editions import METHOD_EDITIONS, Editions, of_numbers
from checks.comparison.differences import DataFact, Raw
from checks.plantfile import consistency
from checks.plantfile.plant import Plant
from checks.questions.bank import UnknownEdition
from checks.text.yaml_text import Place
from scoring.methods.registry import UnknownMethod


@dataclass(frozen=True, slots=True)
class Unit:
    """Facts that are always taken together, and what they put where in the plain data."""

    facts: tuple[DataFact, ...]
    puts: tuple[tuple[Place, Any], ...]


def _put(held: Raw, at: Place, value: Any) -> dict[str, Any]:
    """Plain data with another value at one place."""
    key = str(at[0])
    return {**held, key: value if len(at) == 1 else _put(held[key], at[1:], value)}


@dataclass(frozen=True, slots=True)
class View:
    """One function in a state between two plants. ``data`` may hold more than the function names: it stands by.

    ``sharing`` names, by group, systems that share it but are cut out of the plants: only their links tell of them.
    """

    function: str
    data: Raw
    sharing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def file(self) -> dict[str, Any]:
        """Plant file with the function, its groups, and the functions and systems that share them."""
        data = self.data
        groups = {key: data["groups"][key] for key in data["functions"][self.function]["groups"]}
        functions = {
            key: {**function, "groups": shared}
            for key, function in data["functions"].items()
            if function and (shared := [name for name in function["groups"] if name in groups])
        }
        systems = {
            key: {"functions": [name for name in system["functions"] if name in functions]}
            for key, system in data["systems"].items()
            if system
        }
        named = dict.fromkeys(one for group in groups.values() for channel in group["channels"] for one in channel)
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
        """Whether this could stand in a plant file."""
        try:
            self._editions()
        except (UnknownMethod, UnknownEdition):
            return False
        return next(consistency.faults(self.file()), None) is None

    def _editions(self) -> Editions:
        conventions = self.data["conventions"]
        return of_numbers(conventions, conventions["editions"])

    def plus(self, units: Iterable[Unit]) -> View:
        """The state with these units changed."""
        data = self.data
        for unit in units:
            for at, value in unit.puts:
                data = _put(data, at, value)
        return View(self.function, data, self.sharing)

    def result(self, answers: Answers) -> float:
        """Adjusted result of the function with these answers: PFDavg in low, PFH [1/h] in high demand."""
        plant = Plant.model_validate(self.file())
        known = Links(plant)
        for key, systems in known.systems_of.items():
            known.systems_of[key] = (*systems, *self.sharing.get(key, ()))
        return Assessment(plant, answers, links=known, editions=self._editions()).function(self.function).cases.adjusted


def in_turn(first: View, units: Iterable[Unit]) -> Iterator[tuple[tuple[Unit, ...], View]]:
    """Units in order, and the state after each; one that does not fit yet waits and goes with the one that lets it in.

    All of them together must fit; so none is left waiting.
    """
    view, todo, waiting = first, deque(units), list[Unit]()
    while todo:
        unit = todo.popleft()
        found = _fitting(view, waiting, unit)
        if found is None:
            waiting.append(unit)
        else:
            bundle, view = found
            todo.extendleft(one for one in reversed(waiting) if one not in bundle)
            waiting = []
            yield bundle, view


def _fitting(view: View, waiting: list[Unit], unit: Unit) -> tuple[tuple[Unit, ...], View] | None:
    """The unit with one that waits for it, with all that wait, or alone; None where it must wait itself."""
    for bundle in (*((one, unit) for one in waiting), (*waiting, unit), (unit,)):
        after = view.plus(bundle)
        if after.fits:
            return bundle, after
    return None
