"""Opinions of further methods on the beta of a group. They stand beside the method that carries the result and move none.

All are the beta of a pair (1oo2), before the MooN factor, so that they lie on one axis.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from checks.assessment.answers import ByQuestion
from checks.assessment.assessment import Assessment
from checks.assessment.editions import CAUSES
from checks.plantfile.equipment import Group
from checks.questions import grades
from scoring.beta.by_grades import asked_by
from scoring.beta.published import PublishedBeta
from scoring.method import About, AskedBeta
from scoring.methods import registry
from scoring.units import Fraction

Ends = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class AskedOpinion:
    """Opinion of a method with its questions; ``beta`` is None while one is open, or where the method gives none.

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

    @property
    def label(self) -> str:
        """Name of the method."""
        return self.about.label


@dataclass(frozen=True, slots=True)
class PublishedOpinion:
    """Published betas for the classes of equipment that are used as the part of a group, lowest first."""

    about: About
    values: tuple[PublishedBeta, ...]


@dataclass(frozen=True, slots=True)
class Carried:
    """The beta of a pair that carries the result: by the method of the plant or of the group, or as specified.

    ``band`` is the range while questions are open. ``bank`` is that of an own method of the group, with its ``name`` and edition,
    what is ``asked`` and ``open``, the ``reason`` for it and its equation; of the method of the plant these are empty.
    """

    label: str
    beta: Fraction
    band: Ends
    bank: str = ""
    name: str = ""
    asked: int = 0
    open: tuple[str, ...] = ()
    reason: str = ""
    worked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GroupOpinions:
    """All opinions on the beta of one group; ``carried`` is that of the result, ``asked`` are those of the other methods.

    Where the group has a method of its own, the first of them is that of the plant's.
    """

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
    ends = (betas.beta, betas.beta) if band is None else band
    low, high = (end / betas.voting_factor for end in ends)
    carried = Carried(_label(assessment, key), betas.beta_int, (low, high))
    answers, visible = assessment.all_answers.answers_for(key), assessment.group(key).answers
    chosen, own = asked_by(assessment.beta_method(key)), key in assessment.editions.betas_of_groups
    others = (method for method in registry.ASKED_BETA.editions().values() if method is not chosen)
    asked = tuple(_shown(asked_opinion(method, answers), method, visible) for method in others)
    if own:
        carried = _of_group(assessment, key, carried)
        asked = (_of_plant(assessment, key), *asked)
    lists = registry.PUBLISHED_BETA.editions().values()
    published = tuple(PublishedOpinion(each.about, each.of_part(group.part)) for each in lists)
    return GroupOpinions(key, carried, asked, tuple(each for each in published if each.values))


def _label(assessment: Assessment, key: str) -> str:
    specified = assessment.plant.groups[key].stated_beta is not None
    return "Specified beta" if specified else assessment.beta_method(key).about.label


def _of_group(assessment: Assessment, key: str, carried: Carried) -> Carried:
    """The beta by the own method of a group, with what it rests on; the equation names grades, so it needs every answer."""
    method, own = assessment.beta_method(key), assessment.plant.groups[key].conventions
    answers, names = assessment.all_answers.answers_for(key), assessment.asked(key)
    known = all(name in assessment.group(key).answers for name in names if name in answers)
    return replace(
        carried,
        bank=assessment.editions.bank_of(key),
        name=method.about.name,
        asked=len(names),
        open=tuple(name for name in names if name not in answers or answers[name].value == "unknown"),
        reason="" if own is None else own.beta_method_reason,
        worked=method.worked(assessment.all_answers.claims(key)) if known else (),
    )


def _of_plant(assessment: Assessment, key: str) -> AskedOpinion:
    """What the method of the plant makes of its own questions for a group with another method: open ones score nothing."""
    full, visible = assessment.all_answers, assessment.group(key).answers
    method, rows, answers = full.editions.beta, full.rows_of_plant(key), full.answers_for(key)
    by_plant = replace(full.calculation(key), method=method)
    claims = by_plant.claims(answers)
    present, best, worst = (by_plant.exposed(each).beta_int for each in claims)
    return AskedOpinion(
        method.about,
        CAUSES,
        asked=len(rows),
        open=tuple(name for name in rows if name not in answers or answers[name].value == "unknown"),
        beta=present,
        band=(best, worst),
        worked=method.worked(claims[0]) if all(name in visible for name in rows if name in answers) else (),
    )


def asked_opinion(method: AskedBeta, answers: ByQuestion) -> AskedOpinion:
    """Opinion of one method from the answers that apply to a group."""
    points, given = method.points(), grades.present(method, answers)
    missing = tuple(name for name in points if name not in given)
    beta = None if missing else method.beta(given)
    return AskedOpinion(
        method.about,
        method.bank,
        asked=len(points),
        open=missing,
        beta=beta,
        band=None if beta is None else _band(method, answers),
        worked=() if missing else method.worked(given),
    )


def _shown(opinion: AskedOpinion, method: AskedBeta, visible: ByQuestion) -> AskedOpinion:
    """An opinion as a reader of some answers may see it: the equation names each grade, so it needs every answer."""
    return opinion if visible.keys() >= method.points().keys() else replace(opinion, worked=())


def _band(method: AskedBeta, answers: ByQuestion) -> Ends | None:
    worst = {name: next(iter(printed)) for name, printed in method.points().items()}
    low = method.beta(grades.best(method, answers))
    high = method.beta(worst | grades.evidenced(method, answers))
    return None if low is None or high is None else (low, high)


def figures(assessment: Assessment, key: str) -> dict[str, Fraction | None]:
    """Beta of a pair by the id of each method that does not carry the result, for ``--json``; None where it has no opinion."""
    found = of_group(assessment, key)
    return {} if found is None else {opinion.about.id: opinion.beta for opinion in found.asked}
