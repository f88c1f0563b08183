"""Result of a function against the beta of one of its groups, with the voting as built and with others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from checks.assessment.assessment import Assessment
from checks.assessment.groups import voted
from scoring import voting
from scoring.method import Measure
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
    result, as_built = assessment.function(function), assessment.group(group)
    if as_built.betas is None:
        raise ValueError(f"{group} has no redundancy, so no beta")
    others = sum(result.group_cases(part).scored for part in result.groups if part.id != group)
    ratio = as_built.betas.beta_d / as_built.betas.beta if as_built.betas.beta > 0.0 else 1.0
    votings = dict.fromkeys((as_built.voting, *OTHER_VOTINGS))
    curves = tuple(
        Curve(as_voted, as_voted == as_built.voting, others + total)
        for as_voted in votings
        if (total := _group_result(assessment, group, as_voted, beta_int, ratio, result.demand)) is not None
    )
    k = as_built.betas.voting_factor
    return Curves(group, beta_int, curves, as_built.betas.beta_int, as_built.betas.beta_adjusted / k)


def _group_result(
    assessment: Assessment, group: str, as_voted: Voting, beta_int: Array, ratio: float, demand: str
) -> Array | None:
    editions, built = assessment.editions, voted(assessment.plant, assessment.plant.groups[group])
    k = 0.0
    if as_voted.redundant:
        try:
            k = editions.moon_factor.factor(as_voted)
        except voting.VotingRefused:
            return None
    beta, beta_d = np.minimum(1.0, k * beta_int), np.minimum(1.0, k * ratio * beta_int)
    measure: Measure = "pfd" if demand == "low" else "pfh"
    split = editions.redundancy.result(measure, built.voted(as_voted), beta=beta, beta_d=beta_d)
    return np.broadcast_to(np.asarray(split.total, dtype=float), beta_int.shape)
