"""Alpha factors of a group of like channels from counts of failure events, with a Dirichlet prior.

alpha_k is the share of failure events that affect exactly k of m channels. Q_t is the failure probability of one channel, Q_k
that of k particular channels together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, fsum, inf

from scoring.field_data.quantiles import LEVELS, Quantiles
from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.units import Fraction

ALPHA_FACTORS = About(
    id="alpha-factors",
    edition=1,
    label="alpha factors with a Dirichlet prior",
    source=(
        "US NRC NUREG/CR-5485 (1998), alpha factor model, with the forms of the Open-PSA Model Exchange Format (beta, multiple "
        "Greek letters, alpha factors; read)"
    ),
    confidence="cross-checked",
    valid="like channels of one group; failure events that are independent of each other",
    formula=(
        "alpha_k = (theta_k + n_k) / sum of (theta + n); marginal alpha_k ~ Beta(theta_k + n_k, sum of the others)",
        "tested together: Q_k / Q_t = k alpha_k / (alpha_t C(m-1,k-1)), alpha_t = sum of k alpha_k",
        "tested in turn: Q_k / Q_t = alpha_k / C(m-1,k-1)",
        "rho_i = sum over k >= i of w_k / sum over k >= i-1 of w_k, w_k = k alpha_k tested together, alpha_k tested in turn",
        "beta = rho_2, gamma = rho_3, delta = rho_4",
    ),
)
JEFFREYS = 0.5
"""Parameter of each alpha factor in Jeffreys' prior."""


@dataclass(frozen=True, slots=True)
class AlphaFactors:
    """Dirichlet distribution of alpha_1 … alpha_m; ``theta`` are its parameters, at least 0 and not all 0."""

    theta: tuple[float, ...]

    def __post_init__(self) -> None:
        for parameter in self.theta:
            within("theta", parameter, 0.0, 1e12)
        if not fsum(self.theta) > 0.0:
            raise OutOfRange("theta", self.theta, "at least one parameter must be above 0")

    @property
    def strength(self) -> float:
        """Sum of the parameters: the number of events that the distribution is worth."""
        return fsum(self.theta)

    @property
    def means(self) -> tuple[Fraction, ...]:
        """Mean of each alpha factor."""
        return tuple(parameter / self.strength for parameter in self.theta)

    def quantiles(self, multiplicity: int) -> Quantiles:
        """Quantiles of alpha_k, k from 1; a factor whose parameter is 0 is 0."""
        from scipy.special import betaincinv

        within("multiplicity", multiplicity, 1, len(self.theta))
        own = self.theta[multiplicity - 1]
        rest = self.strength - own
        if own == 0.0 or rest <= 0.0:
            return Quantiles(*[0.0 if own == 0.0 else 1.0] * 3)
        return Quantiles(*(float(betaincinv(own, rest, level)) for level in LEVELS))

    def with_counts(self, counts: Sequence[float]) -> AlphaFactors:
        """The distribution after events with counts n_1 … n_m; raises OutOfRange for other numbers of channels."""
        if len(counts) != len(self.theta):
            raise OutOfRange("counts", tuple(counts), f"must be {len(self.theta)} counts, for 1 to {len(self.theta)}")
        for count in counts:
            within("count", count, 0.0, 1e9)
        return AlphaFactors(tuple(before + count for before, count in zip(self.theta, counts, strict=True)))


def prior(means: Sequence[Fraction], *, strength: float) -> AlphaFactors:
    """The prior with these means, worth ``strength`` events; raises OutOfRange.

    >>> after = prior((0.95, 0.03, 0.015, 0.005), strength=10.0).with_counts((36, 0, 0, 0))
    >>> [round(mean, 6) for mean in after.means]
    [0.98913, 0.006522, 0.003261, 0.001087]
    """
    for mean in means:
        within("mean", mean, 0.0, 1.0)
    if not abs(fsum(means) - 1.0) <= 1e-9:
        raise OutOfRange("means", tuple(means), "must add to 1")
    if not 0.0 < strength < inf:
        raise OutOfRange("strength", strength, "must be above 0")
    return AlphaFactors(tuple(mean * strength for mean in means))


def jeffreys(size: int) -> AlphaFactors:
    """Jeffreys' prior for a group of ``size`` channels."""
    return AlphaFactors((JEFFREYS,) * size)


def ratios(alpha: Sequence[Fraction], *, staggered: bool) -> tuple[Fraction, ...]:
    """Q_k / Q_t for k = 1 … m: of one channel's failures, those it shares with k - 1 particular others.

    >>> [round(ratio, 6) for ratio in ratios((0.95, 0.035, 0.015), staggered=False)]
    [0.892019, 0.032864, 0.042254]
    """
    weights = _weights(alpha, staggered=staggered)
    whole, size = fsum(weights), len(alpha)
    return tuple(weight / whole / comb(size - 1, number) for number, weight in enumerate(weights))


def greek_letters(alpha: Sequence[Fraction], *, staggered: bool) -> tuple[Fraction, ...]:
    """Multiple Greek letters beta, gamma, delta … of a group of m channels, m - 1 of them; 0 after one that is 0.

    >>> [round(letter, 6) for letter in greek_letters((0.95, 0.035, 0.015), staggered=True)]
    [0.05, 0.3]
    """
    weights = _weights(alpha, staggered=staggered)
    tails = [fsum(weights[start:]) for start in range(len(weights))]
    return tuple(tails[at] / tails[at - 1] if tails[at - 1] else 0.0 for at in range(1, len(tails)))


def ratios_of_greek_letters(letters: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """Q_k / Q_t for k = 1 … m of a group of m channels with m - 1 Greek letters.

    >>> [round(ratio, 6) for ratio in ratios_of_greek_letters((0.1, 0.2, 0.3))]
    [0.9, 0.026667, 0.004667, 0.006]
    """
    for letter in letters:
        within("letter", letter, 0.0, 1.0)
    shared, found = 1.0, []
    for number, following in enumerate((*letters, 0.0)):
        found.append(shared * (1.0 - following) / comb(len(letters), number))
        shared *= following
    return tuple(found)


def _weights(alpha: Sequence[Fraction], *, staggered: bool) -> tuple[float, ...]:
    """Failures of one channel by multiplicity: each event as often as its testing finds it in that channel."""
    for factor in alpha:
        within("alpha", factor, 0.0, 1.0)
    if not abs(fsum(alpha) - 1.0) <= 1e-9:
        raise OutOfRange("alpha", tuple(alpha), "must add to 1")
    return tuple(factor * (1 if staggered else number) for number, factor in enumerate(alpha, start=1))
