"""Open questions of the groups and zones of a system: those without an answer, and those answered Not known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from checks.assessment import zones
from checks.assessment.answers import ByQuestion
from checks.assessment.assessment import Assessment
from checks.questions.bank import Question
from checks.revision import basis
from checks.state.live import State

CAUSES, TOPICS, REQUIREMENTS = "common_cause", "cyber", "requirements"
OF_ZONES = (TOPICS, REQUIREMENTS)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a session asks: a group with the common-cause bank or that of a further method, or a zone with one of its two."""

    bank: str
    key: str

    @property
    def addressee(self) -> str:
        """The group or zone as an addressee of answers."""
        return f"{'group' if self.of_group else 'zone'}:{self.key}"

    @property
    def of_group(self) -> bool:
        """Whether a group is asked, and not a zone."""
        return self.bank not in OF_ZONES


@dataclass(frozen=True, slots=True)
class Progress:
    """Questions of one place: how many are asked, those without an answer, and those answered Not known, in bank order.

    A requirement that a topic covers counts as answered.
    """

    place: Place
    asked: int
    missing: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def answered(self) -> int:
        """Number of questions with an answer, Not known included."""
        return self.asked - len(self.missing)

    @property
    def open(self) -> tuple[str, ...]:
        """Questions to ask: without an answer first."""
        return (*self.missing, *self.unknown)


def of_group(assessment: Assessment, group: str) -> Place:
    """Where the questions behind the beta of a group are asked: the bank of its own method, else that of the plant's."""
    return Place(assessment.editions.bank_of(group), group)


def is_opinion(assessment: Assessment, place: Place) -> bool:
    """Whether the method that asks at a place does not carry the result of the group, so that its answers move nothing."""
    return place.of_group and place != of_group(assessment, place.key)


def questions(assessment: Assessment, place: Place) -> dict[str, Question]:
    """Questions asked at a place, by id, in bank order."""
    bank = assessment.banks.of(place.bank)
    if place.bank != CAUSES:
        return dict(bank)
    rows = assessment.rows_of_plant(place.key)
    return {name: question for name, question in bank.items() if name in rows}


def answers(assessment: Assessment, place: Place) -> ByQuestion:
    """Visible answers that apply at a place."""
    return assessment.group(place.key).answers if place.of_group else assessment.zone(place.key).answers


def progress(assessment: Assessment, place: Place) -> Progress:
    """What is answered and what is open at a place, as far as the reader sees the answers."""
    asked, given = questions(assessment, place), answers(assessment, place)
    covered = zones.requirements_asked(given, assessment.banks) if place.bank == REQUIREMENTS else {}
    return Progress(
        place,
        len(asked),
        missing=tuple(name for name in asked if name not in given and name not in covered),
        unknown=tuple(name for name in asked if name in given and given[name].value == "unknown"),
    )


def of_system(state: State, system: str) -> list[Place]:
    """Places of a system: its groups that are asked, then its zones, each with both banks."""
    in_scope = basis.scope(state.plant, state.assessment.links, system)
    groups = [of_group(state.assessment, key) for key in in_scope.groups if state.assessment.asked(key)]
    return [*groups, *_of_zones(in_scope.zones)]


def without_system(state: State) -> list[Place]:
    """Visible zones without a group of any system, each with both banks."""
    return [*_of_zones(key for key in state.zones if not systems(state, Place(TOPICS, key)))]


def systems(state: State, place: Place) -> list[str]:
    """Visible systems to which a place belongs."""
    links = state.assessment.links
    groups = [place.key] if place.of_group else links.groups_in[place.key]
    names = dict.fromkeys(system for key in groups for system in links.systems_of[key])
    return [system for system in names if system in state.systems]


def around(state: State, place: Place, system: str | None) -> list[Place]:
    """Places of a system, or those without one, from this place on and round to its start."""
    places = of_system(state, system) if system is not None else without_system(state)
    at = places.index(place) if place in places else 0
    return [*places[at:], *places[:at]]


def _of_zones(keys: Iterable[str]) -> Iterator[Place]:
    return (Place(bank, key) for key in keys for bank in OF_ZONES)
