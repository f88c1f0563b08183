"""Plant and answers to results: the only bridge from what people said to the equations."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from checks import groups, zones
from checks.answers import Answers, ByQuestion
from checks.bank import Banks, banks
from checks.plant import Answer, Plant
from checks.results import FunctionResult, GroupResult, ZoneResult
from scoring import erosion

MOVES = 0.01
"""Share of a function's result below which an answer is not counted as able to move it (house rule)."""


Held = TypeVar("Held")


def _without(held: dict[str, Held], gone: Iterable[str]) -> dict[str, Held]:
    """A copy less a few: copying whole and dropping beats asking of each of thousands whether it stays."""
    kept = dict(held)
    for key in gone:
        kept.pop(key, None)
    return kept


class Links:
    """Who belongs to whom in one plant: systems and functions of a group, groups of a zone."""

    def __init__(self, plant: Plant) -> None:
        systems: dict[str, dict[str, None]] = {key: {} for key in plant.groups}
        uses: dict[str, list[str]] = {key: [] for key in plant.groups}
        inside: dict[str, list[str]] = {key: [] for key in plant.zones}
        owner = {name: key for key, system in plant.systems.items() for name in system.functions}
        for name, function in plant.functions.items():
            for key in function.groups:
                uses[key].append(name)
                if name in owner:
                    systems[key][owner[name]] = None
        for key, group in plant.groups.items():
            if group.zone is not None:
                inside[group.zone].append(key)
        self.system_of_function = owner
        self.systems_of = {key: tuple(names) for key, names in systems.items()}
        self.uses = {key: tuple(names) for key, names in uses.items()}
        self.groups_in = {key: tuple(names) for key, names in inside.items()}
        self.reached: dict[str, tuple[str, ...]] = {}

    def reach(self, zone: str) -> tuple[str, ...]:
        """Functions whose groups lie in a zone: what a compromise of it can defeat together."""
        if zone not in self.reached:
            names = (name for group in self.groups_in[zone] for name in self.uses[group])
            self.reached[zone] = tuple(dict.fromkeys(names))
        return self.reached[zone]

    def groups_of(self, addressee: str) -> Iterable[str]:
        """Groups whose result an answer of this addressee can change; none for one that the plant no longer has."""
        kind, _, key = addressee.partition(":")
        if kind == "group":
            return (key,) if key in self.uses else ()
        if kind == "zone":
            return self.groups_in.get(key, ())
        if kind == "system":
            return (name for name, systems in self.systems_of.items() if key in systems)
        return self.systems_of


class Assessment:
    """Results of one plant with one set of answers, each computed when it is first asked for.

    ``with_answers`` gives the assessment that would follow from further answers and keeps every result that they
    cannot have changed; that is how an answer's effect is shown, and how a change reaches the screen at once.
    ``known`` are results computed elsewhere.
    """

    def __init__(
        self,
        plant: Plant,
        answers: Answers | None = None,
        *,
        links: Links | None = None,
        known: tuple[dict[str, GroupResult], dict[str, FunctionResult], dict[str, ZoneResult]] | None = None,
    ) -> None:
        self.plant = plant
        self.answers = Answers(plant.answers) if answers is None else answers
        self.links = links or Links(plant)
        self._groups, self._functions, self._zones = known or ({}, {}, {})

    @property
    def banks(self) -> Banks:
        """The question banks in use."""
        return banks()

    def with_answers(self, more: Iterable[Answer]) -> Assessment:
        """The assessment with further answers on top, keeping what they cannot touch."""
        later = tuple(more)
        return self._after(self.answers.plus(later), {one.of for one in later})

    def without_answer(self, question: str, of: str) -> Assessment:
        """The assessment as if this answer had not been given."""
        return self._after(self.answers.without(question, of), {of})

    def _after(self, answers: Answers, touched: set[str]) -> Assessment:
        new = Assessment(self.plant, answers, links=self.links)
        stale = {key for of in touched for key in self.links.groups_of(of)}
        functions = {name for key in stale for name in self.links.uses[key]}
        zones_touched = set(self.plant.zones) if "plant" in touched else {of.removeprefix("zone:") for of in touched}
        new._keep(self, stale, functions, zones_touched)
        return new

    def _keep(self, old: Assessment, stale: set[str], functions: set[str], zones_touched: set[str]) -> None:
        self._groups = _without(old._groups, stale)
        self._functions = _without(old._functions, functions)
        self._zones = _without(old._zones, zones_touched)

    def group(self, key: str) -> GroupResult:
        """Result of one group."""
        if key not in self._groups:
            self._groups[key] = self._assess_group(key)
        return self._groups[key]

    def function(self, key: str) -> FunctionResult:
        """Result of one function: the sum of its groups."""
        if key not in self._functions:
            self._functions[key] = self._assess_function(key)
        return self._functions[key]

    def zone(self, key: str) -> ZoneResult:
        """Result of one zone."""
        if key not in self._zones:
            self._zones[key] = self._assess_zone(key)
        return self._zones[key]

    def functions(self) -> list[FunctionResult]:
        """All functions, worst margin to the target first."""
        return sorted((self.function(key) for key in self.plant.functions), key=lambda one: one.margin)

    def worst_function(self, keys: Iterable[str]) -> FunctionResult | None:
        """The function with the worst margin among those that these groups serve."""
        names = {name for key in keys for name in self.links.uses[key]}
        return min((self.function(name) for name in names), key=lambda one: (one.margin, one.id), default=None)

    def worst_by_shared_causes(self, keys: Iterable[str]) -> FunctionResult | None:
        """The worst function of which shared causes of these groups carry one per cent or more."""
        return self._worst(keys, lambda one, group: float(one.group_parts(group).shared))

    def worst_by_exposure(self, keys: Iterable[str]) -> FunctionResult | None:
        """The worst function of which the exposure of these groups carries one per cent or more."""
        return self._worst(keys, lambda one, group: one.group_cases(group).adjusted - one.group_cases(group).scored)

    def _worst(
        self, keys: Iterable[str], carried: Callable[[FunctionResult, GroupResult], float]
    ) -> FunctionResult | None:
        """The worst function that can be moved; where none can, the worst that the groups serve."""
        held = tuple(keys)
        moved: dict[str, float] = {}
        for key in held:
            for name in self.links.uses[key]:
                one = self.function(name)
                moved[name] = moved.get(name, 0.0) + carried(one, self.group(key)) / one.cases.adjusted
        names = [name for name, part in moved.items() if part >= MOVES]
        found = min((self.function(name) for name in names), key=lambda one: (one.margin, one.id), default=None)
        return found or self.worst_function(held)

    def held_for(self, key: str) -> ByQuestion:
        """Answers that speak for a group, each saying of whom it was given; of these a reader sees ``group(key).held``."""
        return self.answers.for_group(key, zone=self.plant.groups[key].zone, systems=self.links.systems_of[key])

    def exposed_to(self, key: str, held: ByQuestion) -> list[groups.Exposed] | None:
        """Topics that expose a group; None where its zone was never reviewed."""
        group = self.plant.groups[key]
        reviewed = group.zone is not None and zones.reviewed(self.answers.of(f"zone:{group.zone}"))
        return groups.exposed_to(group, held, reviewed=reviewed)

    def _assess_group(self, key: str) -> GroupResult:
        held = self.held_for(key)
        exposed = self.exposed_to(key, held) if self.plant.conventions.exposure_rule == "graded" else None
        return groups.assess(self.plant, key, held, exposed)

    def _assess_zone(self, key: str) -> ZoneResult:
        inside, reach = self.links.groups_in[key], self.links.reach(key)
        return zones.assess(key, self.plant.zones[key], self.answers, groups=inside, reach=reach)

    def _assess_function(self, key: str) -> FunctionResult:
        function = self.plant.functions[key]
        parts = tuple(self.group(name) for name in function.groups)
        low = function.demand == "low"
        cases = erosion.together(one.pfd if low else one.pfh for one in parts)
        bands = [one.band if low else one.pfh_band for one in parts]
        return FunctionResult(
            id=key,
            demand=function.demand,
            groups=parts,
            cases=cases,
            target=function.target,
            optimistic=sum(one.optimistic for one in bands),
            pessimistic=sum(one.pessimistic for one in bands),
            break_even=erosion.break_even(pfd=cases.adjusted, target_rrf=function.target) if low else None,
        )
