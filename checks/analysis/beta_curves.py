"""Result of a function against the beta of one of its groups, with the voting as built and with others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.redundancy_inputs import voted
from checks.assessment.results import Entry, FunctionResult, GroupResult
from checks.timeline import timed_groups
from scoring import alternatives, voting
from scoring.method import Measure
from scoring.timeline import function as timed
from scoring.units import Fractions
from scoring.voting import Voting

OTHER_VOTINGS = (Voting(1, 1), Voting(1, 2), Voting(2, 2), Voting(2, 3), Voting(1, 3))
MEASURES: tuple[Measure, ...] = ("pfd", "pfh")
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Curve:
    """Result of the function (PFDavg, or PFH [1/h]) for each beta_int, with one voting of the group."""

    voting: Voting
    as_built: bool
    result: Array


@dataclass(frozen=True, slots=True)
class Curves:
    """Curves over ``beta_int``, the value of a pair (1oo2), and the beta_int of the group in both cases."""

    group: str
    beta_int: Array
    curves: tuple[Curve, ...]
    scored_beta_int: float
    adjusted_beta_int: float


def against_beta(assessment: Assessment, function: str, group: str, *, beta_int: Array) -> Curves:
    """Curves of one function with common cause; the other groups do not change. One call of the equation for each voting.

    beta_D keeps its ratio to beta. Votings without a factor in the chosen convention are left out. Raises ValueError for a
    group without redundancy.
    """
    result = assessment.function(function)
    entry = result.entry_of(group)
    as_built = next(part for part in entry.groups if part.id == group)
    if as_built.betas is None:
        raise ValueError(f"{group} has no redundancy, so no beta")
    ratio = as_built.betas.beta_d / as_built.betas.beta if as_built.betas.beta > 0.0 else 1.0
    votings = dict.fromkeys((as_built.voting, *OTHER_VOTINGS))
    curves = tuple(
        Curve(as_voted, as_voted == as_built.voting, total)
        for as_voted in votings
        if (total := _result(assessment, result, Varied(group, as_voted, beta_int, ratio))) is not None
    )
    k = as_built.betas.voting_factor
    return Curves(group, beta_int, curves, as_built.betas.beta_int, as_built.betas.beta_adjusted / k)


@dataclass(frozen=True, slots=True)
class Varied:
    """A group with another voting, over ``beta_int``; ``ratio`` is beta_D / beta."""

    group: str
    voting: Voting
    beta_int: Array
    ratio: float


def _result(assessment: Assessment, function: FunctionResult, varied: Varied) -> Array | None:
    """Result of the function whose group is varied; None without a MooN factor for the voting."""
    if any(map(assessment.on_timeline, (group.id for group in function.groups))):
        return _over_time(assessment, function, varied)
    entry = function.entry_of(varied.group)
    total = _entry_result(assessment, entry, varied, function.measure)
    others = sum(part.measured.cases.scored for part in function.entries if part is not entry)
    return None if total is None else others + total


def _over_time(assessment: Assessment, function: FunctionResult, varied: Varied) -> Array | None:
    """The same for a function that the timeline carries."""
    plant, entries = assessment.plant, []
    betas = _betas(assessment, varied)
    if betas is None:
        return None
    for entry in function.entries:
        parts = []
        for group in entry.groups:
            own = group.id == varied.group
            if not assessment.on_timeline(group.id):
                results = [
                    _group_result(assessment, varied, each) if own else _scored(group, each) for each in MEASURES
                ]
                low, high = (np.atleast_2d(np.asarray(result)) for result in results)
                parts.append(timed.Part(None, (low, high)))
                continue
            built = over_time.input_of(plant, assessment.editions, group.id, group.voting)
            pair = (group.betas.beta, group.betas.beta_d) if group.betas else (0.0, 0.0)
            parts.append(over_time.part(built.voted(varied.voting), *betas) if own else over_time.part(built, *pair))
        entries.append(timed.Entry(tuple(parts), entry.beta or 0.0))
    mission = timed_groups.mission(plant)
    _, whole = timed.Function(entries, mission, low=function.demand == "low").means()
    return np.broadcast_to(whole, varied.beta_int.shape)


def _scored(group: GroupResult, measure: Measure) -> float:
    """Result of a group with common cause; 0 for a measure that a stated result lacks."""
    found = group.low if measure == "pfd" else group.high
    return 0.0 if found is None else found.cases.scored


def _betas(assessment: Assessment, varied: Varied) -> tuple[Array, Array] | None:
    """Beta and beta_D of the varied group; None without a MooN factor for the voting."""
    k = 0.0
    if varied.voting.redundant:
        try:
            k = assessment.calculation(varied.group, varied.voting).factor
        except voting.VotingRefused:
            return None
    return np.minimum(1.0, k * varied.beta_int), np.minimum(1.0, k * varied.ratio * varied.beta_int)


def _entry_result(assessment: Assessment, entry: Entry, varied: Varied, measure: Measure) -> Array | None:
    """Result of an entry of the function whose group is varied; None without a MooN factor for the voting."""
    if entry.beta is None:
        return _group_result(assessment, varied, measure)
    measures: tuple[Measure, ...] = ("pfd",) if measure == "pfd" else ("pfd", "pfh")
    by_measure: dict[Measure, list[Fractions]] = {"pfd": [], "pfh": []}
    for each in measures:
        for part in entry.groups:
            own = part.id == varied.group
            result = _group_result(assessment, varied, each) if own else part.measured(each).cases.scored
            if result is None:
                return None
            by_measure[each].append(result)
    total = alternatives.result(measure, by_measure["pfd"], by_measure["pfh"], beta=entry.beta).total
    return np.broadcast_to(np.asarray(total, dtype=float), varied.beta_int.shape)


def _group_result(assessment: Assessment, varied: Varied, measure: Measure) -> Array | None:
    method, betas = assessment.editions.redundancy_of(varied.group), _betas(assessment, varied)
    if betas is None:
        return None
    built = voted(assessment.plant, assessment.plant.groups[varied.group]).voted(varied.voting)
    split = method.result(measure, built, beta=betas[0], beta_d=betas[1])
    total = np.asarray(split.total, dtype=float) + method.test_terms(measure, built).total
    return np.broadcast_to(total, varied.beta_int.shape)
