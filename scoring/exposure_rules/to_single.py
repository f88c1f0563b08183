"""``to-single`` edition 1 (house rule): full exposure leaves a group worth a single channel."""

from __future__ import annotations

from scoring import exposure
from scoring.method import About, Exposed
from scoring.numbers import put_in
from scoring.units import Fraction


def raised(beta: Fraction, g: Fraction) -> Fraction:
    """beta^(1 - g): from beta at g = 0 to 1 at g = 1. An exposure of 40 % takes 40 % of the decades from beta to 1.

    >>> round(raised(0.01, 0.5), 6)
    0.1
    """
    # Rounding of the power must not lower beta.
    return max(beta, min(1.0, float(beta ** (1.0 - g)))) if beta > 0.0 else (1.0 if g == 1.0 else 0.0)


class ToSingle:
    """adjusted beta = beta^(1-g), where beta includes the MooN factor. There is no cap."""

    about = About(
        id="to-single",
        edition=1,
        label="to a single channel (house rule)",
        source=f"house rule: {exposure.SCENARIO}",
        confidence="house rule",
        valid="setting priorities; exposure 1 leaves the group worth a single channel",
        formula=(
            "g = 1 - product over unmet topics of (1 - class value x unmet share)",
            "adjusted beta = beta^(1-g), with beta = min(1, beta_int x factor)",
        ),
    )

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Adjusted beta and beta_D."""
        beta, beta_d = (min(1.0, group.factor * beta) for beta in (group.beta_int, group.beta_d_int))
        return raised(beta, group.g), raised(beta_d, group.g)

    def worked(self, group: Exposed) -> tuple[str, ...]:
        """The rule with the numbers of one group put in."""
        beta = min(1.0, group.factor * group.beta_int)
        return (f"adjusted beta = {put_in(beta)}^(1 - {put_in(group.g)}) = {put_in(raised(beta, group.g))}",)
