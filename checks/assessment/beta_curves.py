"""RRF of a function against the beta of one of its groups, as built and with other voting, with common cause."""

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
    """Curves over ``beta_int``, the 1oo2 value, and where the group stands on the one as built."""

    group: str
    beta_int: Array
    curves: tuple[Curve, ...]
    scored_beta_int: float
    adjusted_beta_int: float


def against_beta(assessment: Assessment, function: str, group: str, *, beta_int: Array) -> Curves:
    """Curves of one function with common cause; the other groups stay as they are. One call of the equation a voting.

    beta_D follows beta in the proportion that the group has. Votings for which the chosen convention prints no
    factor are left out.
    """
    result, now = assessment.function(function), assessment.group(group)
    if now.betas is None:
        raise ValueError(f"{group} has no redundancy, so no beta")
    others = sum(result.group_cases(one).scored for one in result.groups if one.id != group)
    ratio = now.betas.beta_d / now.betas.beta if now.betas.beta > 0.0 else 1.0
    votings = dict.fromkeys((now.voting, *OTHER_VOTINGS))
    curves = tuple(
        Curve(one, one == now.voting, others + held)
        for one in votings
        if (held := _group_result(assessment, group, one, beta_int, ratio, result.demand)) is not None
    )
    k = now.betas.voting_factor
    return Curves(group, beta_int, curves, now.betas.beta_int, now.betas.beta_adjusted / k)


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
