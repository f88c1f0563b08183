"""Description of the uncertainty calculation as screens and reports print it, with its conventions."""

from __future__ import annotations

from scoring.method import About

ERROR_FACTOR = 3.0
"""Error factor of a device that states none (house rule: a factor that generic failure data often have)."""
POWER = 13
"""Power of two of the number of points: 8,192."""
SEED = 1
"""Seed of the points where none is given."""

ABOUT = About(
    id="uncertainty",
    edition=1,
    label="uncertainty by scrambled Sobol points, edition 1",
    source=(
        "derived; lognormal by mean and error factor as in the Open-PSA Model Exchange Format; shares by the correlation "
        "ratio; triangle of beta and default error factor are house rules"
    ),
    confidence="house rule",
    valid=(
        "the case with common cause; failure rates of different device types independent of each other; coverage, test intervals, "
        "repair times, stated betas and stated results held fixed; nothing is claimed of the equations themselves"
    ),
    formula=(
        "failure rates of a device type x exp(sigma z - sigma^2/2), sigma = ln(error factor)/1.645, one z for all its rates in all groups",
        (
            "the entered rate is the mean, since rates are estimated as failures over time; the median is lower by exp(-sigma^2/2), "
            "0.80 for an error factor 3"
        ),
        (
            "beta of a group: triangle over the range of open answers and claims without evidence, mode at the present value; beta_D "
            "keeps its ratio to beta"
        ),
        "band: 5 %, 50 % and 95 % value of the results at 2^m points of a scrambled Sobol sequence",
        "probability of missing the target: share of the points at which the result is worse than the target",
        (
            "share of an input: variance of the mean of ln(result) in K equal slices of the input / variance of ln(result), K = 32 for "
            "2^13 points; the rest is interaction of inputs, what moves within a slice, and noise of the sample"
        ),
    ),
)
