"""``graded`` edition 1 (house rule): beta_int rises towards the worst class of its method."""

from __future__ import annotations

from scoring import exposure
from scoring.method import About, Exposed
from scoring.numbers import put_in
from scoring.units import Fraction


class Graded:
    """beta_int* = beta_int (worst class / beta_int)^g, then times the MooN factor."""

    about = About(
        id="graded",
        edition=1,
        label="graded (house rule)",
        source=f"house rule: {exposure.SCENARIO}",
        confidence="house rule",
        valid="setting priorities; a group that has the worst class already shows no exposure",
        formula=(
            "g = 1 - product over unmet topics of (1 - class value x unmet share)",
            "beta_int* = beta_int^(1-g) x max(worst class, beta_int)^g; adjusted beta = min(1, beta_int* x factor)",
        ),
    )

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Adjusted beta and beta_D."""
        cap = group.method.worst(group.part)
        raised = [float(exposure.raised(beta, group.g, cap=cap)) for beta in (group.beta_int, group.beta_d_int)]
        return min(1.0, group.factor * raised[0]), min(1.0, group.factor * raised[1])

    def worked(self, group: Exposed) -> tuple[str, ...]:
        """The rule with the numbers of one group put in."""
        beta_int, beta = group.beta_int, self.adjusted(group)[0]
        cap = max(group.method.worst(group.part), beta_int)
        return (
            (
                f"adjusted beta = {put_in(group.factor)} x {put_in(beta_int)}^{put_in(1.0 - group.g)} x {put_in(cap)}^{put_in(group.g)} "
                f"= {put_in(beta)}"
            ),
        )
