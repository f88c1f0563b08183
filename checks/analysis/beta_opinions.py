"""Opinions of further methods on the beta of a group. They stand beside the method that carries the result and move none.

All are the beta of a pair (1oo2), before the MooN factor, so that they lie on one axis.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from checks.assessment.answers import ByQuestion
from checks.assessment.assessment import Assessment
from checks.plantfile.equipment import Group
from checks.plantfile.plant import Answer
from scoring.beta.published import PublishedBeta
from scoring.method import About, AskedBeta
from scoring.methods import registry
from scoring.units import Fraction

Ends = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class AskedOpinion:
    """Opinion of a method with questions of its own; ``beta`` is None while one is open, or where the method gives none.

    ``open`` are its questions without an answer or answered Not known. ``band``: from partly met measures counted as met, to
    answers without evidence counted at the worst grade; None without a beta at one of its ends. ``worked`` is the equation, for a reader who may see every answer in it.
    """

    about: About
    bank: str
    asked: int
    open: tuple[str, ...]
    beta: Fraction | None
    band: Ends | None
    worked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedOpinion:
    """Published betas for the classes of equipment that are used as the part of a group, lowest first."""

    about: About
    values: tuple[PublishedBeta, ...]


@dataclass(frozen=True, slots=True)
class Carried:
    """The beta of a pair that carries the result: by the method of the plant, or as specified; ``band`` while questions are open."""

    label: str
    beta: Fraction
    band: Ends


@dataclass(frozen=True, slots=True)
class GroupOpinions:
    """All opinions on the beta of one group; ``carried`` is that of the result."""

    group: str
    carried: Carried
    asked: tuple[AskedOpinion, ...]
    published: tuple[PublishedOpinion, ...]


def asks(group: Group) -> bool:
    """Whether further methods ask about a group: it has redundancy, and no stated result."""
    return group.voted.redundant and group.stated_result is None


def of_group(assessment: Assessment, key: str) -> GroupOpinions | None:
    """All opinions on the beta of a group; None for a group without redundancy or with a stated result."""
    group, betas, band = assessment.plant.groups[key], assessment.group(key).betas, assessment.group(key).beta_band
    if betas is None or not asks(group):
        return None
    label = assessment.editions.beta.about.label if group.stated_beta is None else "Specified beta"
    ends = (betas.beta, betas.beta) if band is None else band
    low, high = (end / betas.voting_factor for end in ends)
    carried = Carried(label, betas.beta_int, (low, high))
    answers = assessment.all_answers.answers_for(key)
    visible = assessment.group(key).answers
    asked = tuple(
        _shown(asked_opinion(method, answers), method, visible) for method in registry.ASKED_BETA.editions().values()
    )
    lists = registry.PUBLISHED_BETA.editions().values()
    published = tuple(PublishedOpinion(each.about, each.of_part(group.part)) for each in lists)
    return GroupOpinions(key, carried, asked, tuple(each for each in published if each.values))


def asked_opinion(method: AskedBeta, answers: ByQuestion) -> AskedOpinion:
    """Opinion of one method from the answers that apply to a group."""
    points = method.points()
    given = {name: answers[name] for name in points if name in answers and answers[name].value != "unknown"}
    missing = tuple(name for name in points if name not in given)
    grades = {name: _grade(points[name], answer.value) for name, answer in given.items()}
    beta = None if missing else method.beta(grades)
    return AskedOpinion(
        method.about,
        method.bank,
        asked=len(points),
        open=missing,
        beta=beta,
        band=None if beta is None else _band(method, given),
        worked=() if missing else method.worked(grades),
    )


def _shown(opinion: AskedOpinion, method: AskedBeta, visible: ByQuestion) -> AskedOpinion:
    """An opinion as a reader of some answers may see it: the equation names each grade, so it needs every answer."""
    return opinion if visible.keys() >= method.points().keys() else replace(opinion, worked=())


def _grade(printed: Mapping[str, float], value: str) -> str:
    """The grade of an answer: its level, or met and not-met. A measure met in part scores nothing."""
    if value in printed:
        return value
    return "met" if value == "equivalent" else "not-met"


def _band(method: AskedBeta, given: Mapping[str, Answer]) -> Ends | None:
    best, worst = {}, {}
    for name, answer in given.items():
        printed = method.points()[name]
        grade = _grade(printed, answer.value)
        best[name] = "met" if answer.value == "partly" else grade
        worst[name] = grade if answer.evidence.strip() else next(iter(printed))
    low, high = method.beta(best), method.beta(worst)
    return None if low is None or high is None else (low, high)


def figures(assessment: Assessment, key: str) -> dict[str, Fraction | None]:
    """Beta of a pair by the id of each method that asks, for ``--json``; None where it has no opinion."""
    found = of_group(assessment, key)
    return {} if found is None else {opinion.about.id: opinion.beta for opinion in found.asked}
