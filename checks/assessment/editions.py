"""Editions of the methods and question banks of an assessment.

A plant file names methods; its format determines their editions. A revision names both, so that it can be computed
again after newer editions exist.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

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


Own = tuple[tuple[str, BetaMethod], ...]
"""Groups with a beta method of their own, each with it."""


@dataclass(frozen=True)
class Editions:
    """One method of each kind, and one edition of each question bank; the beta methods of groups with one of their own."""

    beta: BetaMethod
    moon_factor: MoonFactor
    redundancy: RedundancyMethod
    exposure: ExposureRule
    chosen_banks: Chosen
    own_betas: Own = ()

    @cached_property
    def _own(self) -> Mapping[str, BetaMethod]:
        return dict(self.own_betas)

    def beta_of(self, group: str) -> BetaMethod:
        """The beta method that carries the result of a group: its own, else that of the plant."""
        return self._own.get(group, self.beta)

    def has_own_beta(self, group: str) -> bool:
        """Whether a group has a beta method of its own."""
        return group in self._own

    def bank_of(self, group: str) -> str:
        """Name of the question bank behind the beta of a group."""
        asked = asked_by(self.beta_of(group))
        return CAUSES if asked is None else asked.bank

    def within(self, groups: Collection[str]) -> Editions:
        """The same for these groups alone."""
        return replace(self, own_betas=tuple((key, method) for key, method in self.own_betas if key in groups))

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
        return {kind: _named(about) for kind, about in self.about.items()}

    def group_methods_named(self) -> dict[str, dict[str, dict[str, Any]]]:
        """Id and edition of the own methods of groups as a revision stores them: by group, then by kind; mostly none."""
        return {key: {"beta": _named(method.about)} for key, method in self.own_betas}

    def banks_named(self) -> dict[str, dict[str, str]]:
        """Edition of each bank with the hash of what scores and of its words, as a revision stores them.

        Of the banks of further methods those that carry the beta of a group.
        """
        own = {self.bank_of(key) for key, _ in self.own_betas}
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


def of_plant(plant: Plant) -> Editions:
    """The editions that follow from the format and the conventions of a plant file."""
    conventions, editions = plant.conventions, METHOD_EDITIONS[plant.format]
    named = {kind: getattr(conventions, kind) for kind in KINDS}
    found = _found({kind: (name, editions.get(name, 1)) for kind, name in named.items()}, BANK_EDITIONS[plant.format])
    return with_own(found, plant)


def with_own(editions: Editions, plant: Plant) -> Editions:
    """The same with the own methods of the groups of a plant, in the editions of its format; raises UnknownMethod."""
    known = METHOD_EDITIONS[plant.format]
    chosen = ((key, group.conventions.beta_method) for key, group in plant.groups.items() if group.conventions)
    own = tuple((key, own_beta((name, known.get(name, 1)), editions.beta)) for key, name in chosen if name is not None)
    return replace(editions, own_betas=own)


def own_beta(named: tuple[str, int], of_plant: BetaMethod) -> BetaMethod:
    """A method by id and edition as the beta method of a group; raises UnknownMethod. ``of_plant`` is the plant's."""
    if named in registry.BETA.editions():
        return registry.BETA.get(*named)
    return ByGrades(registry.ASKED_BETA.get(*named), of_plant)


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
    own = ((key, each["beta"]) for key, each in facts.get("group_methods", {}).items() if "beta" in each)
    return replace(
        found, own_betas=tuple((key, own_beta((name["id"], name["edition"]), found.beta)) for key, name in own)
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
    for kind, named in _entries(facts, "methods"):
        if kind in find and type(named.get("edition")) is int and isinstance(named.get("id"), str):
            find[kind](named["id"], named["edition"])
    for _, own in _entries(facts, "group_methods"):
        for kind, named in own.items():
            if kind in OWN and isinstance(named, dict) and type(named.get("edition")) is int:
                OWN[kind](str(named.get("id")), named["edition"])
    for name, named in _entries(facts, "banks"):
        if isinstance(named.get("edition"), str):
            bank.edition(name, named["edition"])


def _known_own_beta(name: str, edition: int) -> None:
    if (name, edition) not in registry.BETA.editions():
        registry.ASKED_BETA.get(name, edition)


OWN: Mapping[str, Callable[[str, int], object]] = {"beta": _known_own_beta}
"""Kinds of methods that a group may have of its own; each raises UnknownMethod for one that this program does not have."""


def _named(about: About) -> dict[str, Any]:
    return {"id": about.id, "edition": about.edition}


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
