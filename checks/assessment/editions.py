"""Editions of the methods and question banks of an assessment.

A plant file names methods; its format determines their editions. A revision names both, so that it can be computed
again after newer editions exist.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from checks.plantfile.equipment import Group
from checks.plantfile.plant import Plant
from checks.questions import bank
from checks.questions.bank import Banks, Chosen
from scoring.beta.by_grades import ByGrades, asked_by
from scoring.method import About, BetaMethod, ExposureRule, MoonFactor, RedundancyMethod
from scoring.methods import registry

KINDS = ("beta_method", "voting_factor", "redundancy_method", "exposure_rule")
"""Kinds of methods, as the conventions of a plant file name them."""
METHOD_EDITIONS: Mapping[int, Mapping[str, int]] = {1: {}, 2: {"annex-b": 2}}
"""Edition of a method by the format of the plant file; 1 where it is not listed."""
CAUSES = "common_cause"
"""The bank of the beta methods of a plant."""
BANK_EDITIONS: Mapping[int, Chosen] = {
    1: (("common_cause", "edition-2"), ("cyber", "edition-1"), ("requirements", "edition-2")),
    2: bank.LATEST,
}
"""Editions of the question banks by the format of the plant file; in format 1 the latest that score as the first ones."""


@dataclass(frozen=True)
class GroupMethods:
    """Methods of one group where they differ from those of the plant; None: as the plant."""

    beta: BetaMethod | None = None
    redundancy: RedundancyMethod | None = None

    def named(self) -> dict[str, dict[str, Any]]:
        """Id and edition of each method as a revision stores them."""
        methods = {"beta": self.beta, "redundancy": self.redundancy}
        return {kind: named(method.about) for kind, method in methods.items() if method is not None}


AS_PLANT = GroupMethods()
"""Methods of a group without any of its own."""


@dataclass(frozen=True)
class Editions:
    """One method of each kind, and one edition of each question bank; ``of_groups`` are groups with methods of their own."""

    beta: BetaMethod
    moon_factor: MoonFactor
    redundancy: RedundancyMethod
    exposure: ExposureRule
    chosen_banks: Chosen
    of_groups: tuple[tuple[str, GroupMethods], ...] = ()

    @cached_property
    def betas_of_groups(self) -> Mapping[str, BetaMethod]:
        """Groups with a beta method of their own, each with it."""
        return {key: own.beta for key, own in self.of_groups if own.beta is not None}

    @cached_property
    def redundancy_of_groups(self) -> Mapping[str, RedundancyMethod]:
        """Groups with a redundancy method of their own, each with it."""
        return {key: own.redundancy for key, own in self.of_groups if own.redundancy is not None}

    def beta_of(self, group: str) -> BetaMethod:
        """The beta method that carries the result of a group: its own, else that of the plant."""
        return self.betas_of_groups.get(group, self.beta)

    def redundancy_of(self, group: str) -> RedundancyMethod:
        """The redundancy method of a group: its own, else that of the plant."""
        return self.redundancy_of_groups.get(group, self.redundancy)

    def bank_of(self, group: str) -> str:
        """Name of the question bank behind the beta of a group."""
        asked = asked_by(self.beta_of(group))
        return CAUSES if asked is None else asked.bank

    def moon_factor_of(self, plant: Plant, group: Group) -> MoonFactor:
        """The convention for the MooN factor of a group: its own, else that of the plant; raises UnknownMethod."""
        own = group.conventions
        if own is None or own.voting_factor is None:
            return self.moon_factor
        return moon_factor(own.voting_factor, plant.format)

    @property
    def banks(self) -> Banks:
        """The question banks."""
        return bank.banks(self.chosen_banks)

    @property
    def about(self) -> Mapping[str, About]:
        """Description of each method, by its kind."""
        methods = (self.beta.about, self.moon_factor.about, self.redundancy.about, self.exposure.about)
        return dict(zip(KINDS, methods, strict=True))

    def methods_named(self) -> dict[str, dict[str, Any]]:
        """Id and edition of each method as a revision stores them."""
        return {kind: named(about) for kind, about in self.about.items()}

    def within(self, groups: Collection[str]) -> Editions:
        """The same with the methods of these groups only."""
        return replace(self, of_groups=tuple(each for each in self.of_groups if each[0] in groups))

    def group_methods_named(self, groups: Collection[str]) -> dict[str, dict[str, dict[str, Any]]]:
        """Methods of their own of some groups as a revision stores them."""
        return {key: own.named() for key, own in self.within(groups).of_groups}

    def banks_named(self) -> dict[str, dict[str, str]]:
        """Edition of each bank with the hash of what scores and of its words, as a revision stores them.

        Of the banks of further methods those that carry the beta of a group.
        """
        own = set(map(self.bank_of, self.betas_of_groups))
        return {
            name: {
                "edition": edition,
                "scores": bank.scoring_hash(name, edition),
                "words": bank.words_hash(name, edition),
            }
            for name, edition in sorted((*self.chosen_banks, *(each for each in bank.OPINIONS if each[0] in own)))
        }

    @property
    def bank_scores(self) -> dict[str, str]:
        """Hash of what scores in each bank."""
        return {name: bank.scoring_hash(name, edition) for name, edition in (*self.chosen_banks, *bank.OPINIONS)}

    def with_exposure_rule(self, rule: str) -> Editions:
        """The same with another exposure rule, in its first edition."""
        return replace(self, exposure=registry.EXPOSURE.get(rule, 1))

    def with_redundancy(self, method: RedundancyMethod) -> Editions:
        """The same with one redundancy method for the plant and all its groups."""
        others = ((key, replace(own, redundancy=None)) for key, own in self.of_groups)
        return replace(self, redundancy=method, of_groups=tuple(each for each in others if each[1] != AS_PLANT))


def named(about: About) -> dict[str, Any]:
    """Id and edition of a method as plain data, as a revision stores them and ``--json`` prints them."""
    return {"id": about.id, "edition": about.edition}


def of_plant(plant: Plant) -> Editions:
    """The editions that follow from the format and the conventions of a plant file."""
    conventions, editions = plant.conventions, METHOD_EDITIONS[plant.format]
    named = {kind: getattr(conventions, kind) for kind in KINDS}
    found = _found({kind: (name, editions.get(name, 1)) for kind, name in named.items()}, BANK_EDITIONS[plant.format])
    return with_groups(found, plant)


def with_groups(editions: Editions, plant: Plant) -> Editions:
    """Editions with the methods that groups of a plant have of their own, in those of its format; raises UnknownMethod."""
    return replace(editions, of_groups=tuple(_own(plant, editions)))


def _own(plant: Plant, found: Editions) -> Iterator[tuple[str, GroupMethods]]:
    known = METHOD_EDITIONS[plant.format]
    for key, group in plant.groups.items():
        if group.conventions is None:
            continue
        beta, redundancy = group.conventions.beta_method, group.conventions.redundancy_method
        own = GroupMethods(
            _beta(beta, known.get(beta, 1), found.beta) if beta else None,
            registry.REDUNDANCY.get(redundancy, known.get(redundancy, 1)) if redundancy else None,
        )
        own = GroupMethods(
            None if own.beta is found.beta else own.beta,
            None if own.redundancy is found.redundancy else own.redundancy,
        )
        if own != AS_PLANT:
            yield key, own


def _beta(name: str, edition: int, of_plant: BetaMethod) -> BetaMethod:
    """A method as the beta method of a group; raises UnknownMethod. ``of_plant`` is the plant's."""
    if (name, edition) in registry.BETA.editions():
        return registry.BETA.get(name, edition)
    return ByGrades(registry.ASKED_BETA.get(name, edition), of_plant)


def moon_factor(name: str, plant_format: int) -> MoonFactor:
    """The edition of a MooN factor that a format of the plant file stands for; raises UnknownMethod."""
    return registry.MOON_FACTORS.get(name, METHOD_EDITIONS[plant_format].get(name, 1))


def numbers(editions: Editions) -> dict[str, Any]:
    """Edition of each method and each bank by its kind, as plain data for comparing two states."""
    return {kind: about.edition for kind, about in editions.about.items()} | dict(editions.chosen_banks)


def of_numbers(conventions: Mapping[str, Any], editions: Mapping[str, Any]) -> Editions:
    """The editions from conventions and the output of ``numbers``; raises UnknownMethod and UnknownEdition."""
    methods = {kind: (conventions[kind], editions[kind]) for kind in KINDS}
    return _found(methods, tuple((name, editions[name]) for name in bank.EDITIONS))


def of_facts(plant: Plant, facts: Mapping[str, Any]) -> Editions:
    """The editions that a revision was computed with; raises UnknownMethod and UnknownEdition.

    Releases 1 and 2 named no editions of methods: they had the first ones.
    """
    named = facts.get("methods")
    if named is None:
        methods = {kind: (getattr(plant.conventions, kind), 1) for kind in KINDS}
    else:
        methods = {kind: (named[kind]["id"], named[kind]["edition"]) for kind in KINDS}
    found = _found(methods, tuple((name, facts["banks"][name]["edition"]) for name in bank.EDITIONS))
    return replace(found, of_groups=tuple(_of_groups(facts, found)))


def _of_groups(facts: Mapping[str, Any], found: Editions) -> Iterator[tuple[str, GroupMethods]]:
    """The methods of their own of groups, as a revision stores them."""
    for key, named in facts.get("group_methods", {}).items():
        beta, redundancy = named.get("beta"), named.get("redundancy")
        yield (
            key,
            GroupMethods(
                beta and _beta(beta["id"], beta["edition"], found.beta),
                redundancy and registry.REDUNDANCY.get(redundancy["id"], redundancy["edition"]),
            ),
        )


def named_in(facts: Mapping[str, Any]) -> None:
    """Raise UnknownMethod or UnknownEdition where facts of a revision name an edition that this program does not have.

    Malformed names are ignored here: reading the facts rejects them.
    """
    find: dict[str, Callable[[str, int], Any]] = {
        "beta_method": registry.BETA.get,
        "voting_factor": registry.MOON_FACTORS.get,
        "redundancy_method": registry.REDUNDANCY.get,
        "exposure_rule": registry.EXPOSURE.get,
    }
    of_groups: dict[str, Callable[[str, int], Any]] = {
        "beta": lambda name, edition: _beta(name, edition, registry.BETA.latest("iec61508-6-2010")),
        "redundancy": registry.REDUNDANCY.get,
    }
    for kind, named in _entries(facts, "methods"):
        if kind in find and type(named.get("edition")) is int and isinstance(named.get("id"), str):
            find[kind](named["id"], named["edition"])
    for _, of_group in _entries(facts, "group_methods"):
        for kind, named in _entries({"of": of_group}, "of"):
            if kind in of_groups and type(named.get("edition")) is int and isinstance(named.get("id"), str):
                of_groups[kind](named["id"], named["edition"])
    for name, named in _entries(facts, "banks"):
        if isinstance(named.get("edition"), str):
            bank.edition(name, named["edition"])


def _entries(facts: Mapping[str, Any], block: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    entries = facts.get(block)
    return (
        (name, named)
        for name, named in (entries.items() if isinstance(entries, dict) else ())
        if isinstance(named, dict)
    )


def _found(methods: Mapping[str, tuple[str, int]], banks: Chosen) -> Editions:
    for name, edition in banks:
        bank.edition(name, edition)
    return Editions(
        registry.BETA.get(*methods["beta_method"]),
        registry.MOON_FACTORS.get(*methods["voting_factor"]),
        registry.REDUNDANCY.get(*methods["redundancy_method"]),
        registry.EXPOSURE.get(*methods["exposure_rule"]),
        banks,
    )


def scores_as(revision_bank: Mapping[str, str], name: str) -> str:
    """Hash of what scored in a bank, as a revision names it. Releases 1 and 2 named its edition and the hash of its files.

    Raises UnknownEdition.
    """
    return revision_bank.get("scores") or bank.scoring_hash(name, revision_bank["edition"])
