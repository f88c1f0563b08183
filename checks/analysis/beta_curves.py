"""Result of a function against the beta of one of its groups, with the voting as built and with others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from checks.assessment.assessment import Assessment
from checks.assessment.redundancy_inputs import voted
from checks.assessment.results import Entry
from scoring import alternatives, voting
from scoring.method import Measure
from scoring.units import Fractions
from scoring.voting import Voting

OTHER_VOTINGS = (Voting(1, 1), Voting(1, 2), Voting(2, 2), Voting(2, 3), Voting(1, 3))
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
    others = sum(part.measured.cases.scored for part in result.entries if part is not entry)
    ratio = as_built.betas.beta_d / as_built.betas.beta if as_built.betas.beta > 0.0 else 1.0
    votings = dict.fromkeys((as_built.voting, *OTHER_VOTINGS))
    curves = tuple(
        Curve(as_voted, as_voted == as_built.voting, others + total)
        for as_voted in votings
        if (total := _entry_result(assessment, entry, Varied(group, as_voted, beta_int, ratio), result.measure))
        is not None
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
    group, as_voted = assessment.plant.groups[varied.group], varied.voting
    editions, built = assessment.editions, voted(assessment.plant, group).voted(as_voted)
    k = 0.0
    if as_voted.redundant:
        try:
            k = assessment.calculation(varied.group, as_voted).factor
        except voting.VotingRefused:
            return None
    beta, beta_d = np.minimum(1.0, k * varied.beta_int), np.minimum(1.0, k * varied.ratio * varied.beta_int)
    split = editions.redundancy.result(measure, built, beta=beta, beta_d=beta_d)
    total = np.asarray(split.total, dtype=float) + editions.redundancy.test_terms(measure, built).total
    return np.broadcast_to(total, varied.beta_int.shape)
