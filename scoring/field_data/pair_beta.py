"""Beta of a pair (1oo2) from failure events, with a credible interval: comparable with the beta_int of a questionnaire."""

from __future__ import annotations

from scoring.field_data.alpha_factors import AlphaFactors
from scoring.field_data.quantiles import Quantiles
from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.units import Fraction

PAIR_BETA = About(
    id="pair-beta",
    edition=1,
    label="beta of a pair from failure events",
    source=(
        "alpha factors of two channels, US NRC NUREG/CR-5485 (1998). Prior: house rule after the constrained noninformative "
        "prior (Atwood 1996; NUREG/CR-6823, from memory); alternative: Jeffreys' prior"
    ),
    confidence="house rule",
    valid="events mapped to two channels; beta of undetected failures. A beta of the whole group is not estimated",
    formula=(
        "tested together: beta = 2 alpha_2 / (alpha_1 + 2 alpha_2); tested in turn: beta = alpha_2",
        "prior: half a common-cause event, mean alpha_2 that of the beta in use: theta_2 = 0.5, theta_1 = 0.5 alpha_1 / alpha_2",
        "Jeffreys: theta_1 = theta_2 = 0.5",
    ),
)
HALF_AN_EVENT = 0.5
"""Weight of common-cause events in the prior. A smaller one would put nearly all its weight on a beta of 0."""


def beta_of(alpha_2: Fraction, *, staggered: bool) -> Fraction:
    """Beta of a pair from the share of events that affect both channels.

    >>> beta_of(0.5, staggered=True), round(beta_of(0.047, staggered=False), 4)
    (0.5, 0.0898)
    """
    within("alpha_2", alpha_2, 0.0, 1.0)
    return alpha_2 if staggered else 2.0 * alpha_2 / (1.0 + alpha_2)


def alpha_of(beta: Fraction, *, staggered: bool) -> Fraction:
    """Share of events that affect both channels of a pair, from its beta: the inverse of ``beta_of``."""
    within("beta", beta, 0.0, 1.0)
    return beta if staggered else beta / (2.0 - beta)


def centred_prior(beta: Fraction, *, staggered: bool) -> AlphaFactors:
    """The prior centred on a beta in use; raises OutOfRange for 0 and 1, which no failure could change.

    >>> centred_prior(0.25, staggered=True).theta
    (1.5, 0.5)
    """
    if not 0.0 < beta < 1.0:
        raise OutOfRange("beta", beta, "must lie between 0 and 1, without either, to be the mean of a prior")
    alpha_2 = alpha_of(beta, staggered=staggered)
    return AlphaFactors((HALF_AN_EVENT * (1.0 - alpha_2) / alpha_2, HALF_AN_EVENT))


def beta_quantiles(distribution: AlphaFactors, *, staggered: bool) -> Quantiles:
    """Quantiles of beta of a pair: beta rises with alpha_2, so they are those of alpha_2, converted."""
    if len(distribution.theta) != 2:
        raise OutOfRange("theta", distribution.theta, "must be those of two channels; map the counts first")
    found = distribution.quantiles(2)
    return Quantiles(*(beta_of(value, staggered=staggered) for value in (found.p5, found.p50, found.p95)))
