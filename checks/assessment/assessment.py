"""From a plant and its answers to results; the only place that calls the equations with answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from checks.assessment import editions as known_editions
from checks.assessment import entries, groups, over_time, zones
from checks.assessment.answers import FAVOUR, Answers, ByQuestion
from checks.assessment.editions import Editions
from checks.assessment.links import Links
from checks.assessment.results import Band, Entry, FunctionResult, GroupResult, ZoneResult
from checks.plantfile.plant import Alternatives, Answer, Plant, VotedOtherwise
from checks.questions.bank import Banks, Question
from scoring import erosion, exposure
from scoring.common_cause import Row
from scoring.method import About, BetaMethod, Claims, Measure, Unmet
from scoring.voting import Voting

MOVES = 0.01
"""Share of a function's result below which an answer counts as unable to change it (house rule)."""


Result = TypeVar("Result")


def _without(results: dict[str, Result], stale: Iterable[str]) -> dict[str, Result]:
    """A copy without the stale results. Copying all and dropping a few is faster than testing each of thousands."""
    kept = dict(results)
    for key in stale:
        kept.pop(key, None)
    return kept


def _summed(listed: tuple[Entry, ...]) -> over_time.OverTime:
    """A function as the sum of its entries."""
    bands = [entry.measured.band for entry in listed if entry.measured.band is not None]
    band = Band(sum(band.optimistic for band in bands), sum(band.pessimistic for band in bands))
    return over_time.OverTime(listed, erosion.sum_of_groups(entry.measured.cases for entry in listed), band)


class Assessment:
    """Results of one plant with one set of answers, each computed on first use.

    ``with_answers`` returns the assessment with further answers and keeps the results that they cannot change, so the
    effect of an answer is shown at once. ``editions`` default to those of the plant's format. ``known`` are results computed
    elsewhere: for a past revision the stored ones. ``reproduced``: this program computes the same from the facts of the
    revision.
    """

    def __init__(
        self,
        plant: Plant,
        answers: Answers | None = None,
        *,
        links: Links | None = None,
        editions: Editions | None = None,
        known: tuple[dict[str, GroupResult], dict[str, FunctionResult], dict[str, ZoneResult]] | None = None,
        reproduced: bool = True,
    ) -> None:
        self.plant = plant
        self.answers = Answers(plant.answers) if answers is None else answers
        self.links = links or Links(plant)
        self.editions = editions or known_editions.of_plant(plant)
        self.reproduced = reproduced
        self._groups, self._functions, self._zones = known or ({}, {}, {})
        self._kept = over_time.Kept()

    @property
    def all_answers(self) -> Assessment:
        """The assessment with every answer behind its results; where answers are hidden from a reader, not this one."""
        return self

    @property
    def banks(self) -> Banks:
        """The question banks in use."""
        return self.editions.banks

    def with_answers(self, more: Iterable[Answer]) -> Assessment:
        """The assessment with further answers; keeps the results that they cannot change."""
        later = tuple(more)
        return self._after(self.answers.plus(later), {(answer.question, answer.of) for answer in later})

    def with_plant(self, plant: Plant) -> Assessment:
        """The assessment of changed plant data with the same answers; keeps the results that the change cannot touch.

        A result stays where its group, the devices of it and the systems that use it are the same.
        """
        new = Assessment(plant, self.answers)
        if (plant.format, plant.conventions) != (self.plant.format, self.plant.conventions):
            return new
        devices = {key for key, device in plant.devices.items() if self.plant.devices.get(key) == device}
        same = {
            key
            for key, group in plant.groups.items()
            if self.plant.groups.get(key) == group
            and new.links.systems_of[key] == self.links.systems_of[key]
            and devices.issuperset(group.devices)
        }
        kept = {
            key
            for key, function in plant.functions.items()
            if self.plant.functions.get(key) == function and same.issuperset(function.group_ids)
        }
        new._keep(self, self._groups.keys() - same, self._functions.keys() - kept, set(self._zones))
        return new

    def without_answer(self, question: str, of: str) -> Assessment:
        """The assessment as if this answer had not been given."""
        return self._after(self.answers.without(question, of), {(question, of)})

    def _after(self, answers: Answers, asked: set[tuple[str, str]]) -> Assessment:
        touched = {of for _, of in asked}
        new = Assessment(self.plant, answers, links=self.links, editions=self.editions)
        new._kept = self._kept
        stale = {key for of in touched for key in self.links.groups_of(of)}
        functions = {name for key in stale for name in self.links.uses[key]}
        zones_touched = set(self.plant.zones) if "plant" in touched else {of.removeprefix("zone:") for of in touched}
        # An answer of a group to a topic may count for its zone too, see _of_groups.
        named = (
            of.removeprefix("group:") for name, of in asked if of.startswith("group:") and name in self.banks.cyber
        )
        zones_touched |= {zone for key in named if key in self.plant.groups and (zone := self.plant.groups[key].zone)}
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

    def voted(self, key: str, voting: Voting | None) -> GroupResult:
        """Result of one group as a function votes it; None: as the group votes."""
        return self.group(key) if voting is None else self._assess_group(key, voting)

    def function(self, key: str) -> FunctionResult:
        """Result of one function: the sum of its groups, or over time where the timeline calculates one of them."""
        if key not in self._functions:
            self._functions[key] = self._assess_function(key)
        return self._functions[key]

    def zone(self, key: str) -> ZoneResult:
        """Result of one zone."""
        if key not in self._zones:
            self._zones[key] = self._assess_zone(key)
        return self._zones[key]

    def functions(self) -> list[FunctionResult]:
        """All functions, worst margin to the target first: with common cause, then with the cyber scenario."""
        return sorted((self.function(key) for key in self.plant.functions), key=lambda function: function.order)

    def worst_function(self, keys: Iterable[str]) -> FunctionResult | None:
        """The function with the worst margin among those that use these groups; None without any."""
        names = {name for key in keys for name in self.links.uses[key]}
        return min((self.function(name) for name in names), key=lambda function: function.order, default=None)

    def worst_by_common_cause(self, keys: Iterable[str]) -> FunctionResult | None:
        """The worst function to which common cause of these groups contributes one per cent or more."""

        def shared(entry: Entry) -> float:
            cases, split = entry.measured.cases, entry.measured.scored
            if entry.beta is not None:  # alternatives: the common cause of each group is inside the product
                return cases.scored - cases.ideal
            return 0.0 if split is None else float(split.shared)

        return self._worst(keys, "scored", shared)

    def worst_by_exposure(self, keys: Iterable[str]) -> FunctionResult | None:
        """The worst function to which the exposure of these groups contributes one per cent or more."""

        def added(entry: Entry) -> float:
            return entry.measured.cases.adjusted - entry.measured.cases.scored

        return self._worst(keys, "adjusted", added)

    def _worst(self, keys: Iterable[str], case: str, contributed: Callable[[Entry], float]) -> FunctionResult | None:
        """The worst function whose result in a case these groups can change; else the worst that uses them."""
        groups_asked = tuple(keys)
        moved: dict[str, float] = {}
        for key in groups_asked:
            for name in self.links.uses[key]:
                function = self.function(name)
                share = contributed(function.entry_of(key)) / getattr(function.cases, case)
                moved[name] = moved.get(name, 0.0) + share
        names = [name for name, share in moved.items() if share >= MOVES]

        def margin(function: FunctionResult) -> tuple[float, str]:
            return function.limit / getattr(function.cases, case), function.id

        worst = min((self.function(name) for name in names), key=margin, default=None)
        return worst or self.worst_function(groups_asked)

    def on_timeline(self, key: str) -> bool:
        """Whether the timeline calculates a group; a stated result is calculated by no method."""
        return over_time.on_timeline(self.plant, self.editions, key)

    def method_of(self, function: str) -> About:
        """The redundancy method that carries the result of a function: the timeline where it calculates one of its groups."""
        groups_of = self.plant.functions[function].group_ids
        found = [key for key in groups_of if self.on_timeline(key)] or [
            key for key in groups_of if self.plant.groups[key].stated_result is None
        ]
        return (self.editions.redundancy_of(found[0]) if found else self.editions.redundancy).about

    def answers_for(self, key: str) -> ByQuestion:
        """Answers that apply to a group, each with its addressee; a reader may see fewer, ``group(key).held``."""
        return self.answers.for_group(key, zone=self.plant.groups[key].zone, systems=self.links.systems_of[key])

    def coverage(self, key: str) -> float:
        """Diagnostic coverage of a group from its entered rates, lambda_DD / lambda_D."""
        return groups.claims(self.plant, self.plant.groups[key], ()).coverage

    def claims(self, key: str) -> Claims:
        """The answers of a group as input to its beta method."""
        return self.calculation(key).claims(self.answers_for(key))[0]

    def calculation(self, key: str, voting: Voting | None = None) -> groups.BetaCalculation:
        """Calculation of the betas of a group from its answers, with its own or another voting."""
        topics = self.unmet_topics(key, self.answers_for(key)) if self._raises else None
        group = self.plant.groups[key]
        return groups.BetaCalculation(
            self.plant, group, self.editions, topics, voting or group.voted, self.beta_method(key)
        )

    def beta_method(self, key: str) -> BetaMethod:
        """The method that carries the beta of a group: its own, else that of the plant."""
        return self.editions.beta_of(key)

    @property
    def _raises(self) -> bool:
        return self.editions.exposure.about.id != "none"

    def questioned(self, key: str) -> Mapping[str, Row]:
        """Rows of the questionnaire behind the beta of a group, with their points; none where its method asks otherwise."""
        return groups.questioned(self.plant.groups[key], self.beta_method(key))

    def rows_of_plant(self, key: str) -> Mapping[str, Row]:
        """Rows of the plant's questionnaire that apply to a group, also where another method carries its beta."""
        return groups.questioned(self.plant.groups[key], self.editions.beta)

    def asked(self, key: str) -> dict[str, Question]:
        """The questions behind the beta of a group, by id, in bank order: of its own method, else of the plant's."""
        names = set(groups.asked(self.plant.groups[key], self.beta_method(key)))
        bank = self.banks.of(self.editions.bank_of(key))
        return {name: question for name, question in bank.items() if name in names}

    def unmet_topics(self, key: str, answers: ByQuestion) -> tuple[Unmet, ...] | None:
        """Unmet topics of a group; None where its zone was never reviewed."""
        group = self.plant.groups[key]
        reviewed = group.zone is not None and zones.reviewed(self.answers.of(f"zone:{group.zone}"))
        return groups.unmet_topics(group, answers, self.editions, reviewed=reviewed)

    def _assess_group(self, key: str, voting: Voting | None = None) -> GroupResult:
        return groups.assess(key, self.calculation(key, voting), self.answers_for(key), self._kept.get)

    def _assess_zone(self, key: str) -> ZoneResult:
        inside, reach = self.links.groups_in[key], self.links.reach(key)
        answers = {**self._of_groups(inside), **self.answers.for_zone(key)}
        begun = zones.reviewed(self.answers.of(f"zone:{key}"))
        place = zones.Inside(inside, reach)
        return zones.assess(key, self.plant.zones[key], answers, begun=begun, inside=place, banks=self.banks)

    def _of_groups(self, inside: Iterable[str]) -> ByQuestion:
        """Answers of groups to the topics offered to groups: the worst of them, where every group concerned has one."""
        worst = {}
        groups_inside = [(key, self.plant.groups[key]) for key in inside if self.plant.groups[key].programmable]
        for topic in self.banks.cyber.values():
            if topic.offered == "group":
                asked = [key for key, group in groups_inside if exposure.concerns(topic.elements, group.part)]
                answers = [answer for key in asked if (answer := self.answers.get(topic.id, f"group:{key}"))]
                if asked and len(answers) == len(asked):
                    worst[topic.id] = min(answers, key=lambda answer: FAVOUR[answer.value])
        return worst

    def _assess_function(self, key: str) -> FunctionResult:
        function = self.plant.functions[key]
        low = function.demand == "low"
        listed = tuple(self._entry("pfd" if low else "pfh", entry) for entry in function.groups)
        together = over_time.of_entries(self.plant, self.editions, listed, low=low, kept=self._kept)
        if together is None:
            together = _summed(listed)
        cases, listed = together.cases, together.entries
        parts = [group for entry in listed for group in entry.groups]
        return FunctionResult(
            id=key,
            demand=function.demand,
            entries=listed,
            cases=cases,
            target=function.target,
            band=together.band,
            break_even=erosion.break_even(pfd=cases.adjusted, target_rrf=function.target) if low else None,
            unreviewed=tuple(part.id for part in parts if self._raises and part.betas and part.exposure is None),
            target_sil=function.target_sil,
        )

    def _entry(self, measure: Measure, entry: str | VotedOtherwise | Alternatives) -> Entry:
        if isinstance(entry, str):
            return entries.single(measure, self.group(entry))
        if isinstance(entry, VotedOtherwise):
            return entries.single(measure, self.voted(entry.group, entry.voting))
        return entries.any_of(measure, [self.group(name) for name in entry.any], entry.stated_beta.beta)
