"""``credits`` edition 1 (house rule): an unmet security topic withdraws the questionnaire rows that it undermines."""

from __future__ import annotations

from dataclasses import replace

from scoring import exposure
from scoring.method import About, Exposed
from scoring.units import Fraction


class Credits:
    """beta_int of the score without the undermined rows. Only published numbers; beta moves in the steps of Table D.4."""

    about = About(
        id="credits",
        edition=1,
        label="withdrawn credits (house rule)",
        source=f"house rule: {exposure.SCENARIO}",
        confidence="house rule",
        valid="setting priorities; moves in the steps of the table; a specified beta has no score, so it does not move",
        formula=("adjusted beta = factor x beta_int of the score without the rows that an unmet topic undermines",),
    )

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Adjusted beta and beta_D, never below those of the full score."""
        beta_int, beta_d_int = group.beta_int, group.beta_d_int
        if group.claims is not None:
            remaining = replace(group.claims, claimed=set(group.claims.claimed) - self._withdrawn(group))
            reduced = group.method.estimate(remaining)
            beta_int, beta_d_int = max(beta_int, reduced.beta), max(beta_d_int, reduced.beta_d)
        return min(1.0, group.factor * beta_int), min(1.0, group.factor * beta_d_int)

    def worked(self, group: Exposed) -> tuple[str, ...]:
        """The rows withdrawn from one group, and the remaining score."""
        if group.claims is None:
            return ("the beta is specified: there is no score to withdraw from",)
        withdrawn = sorted(self._withdrawn(group) & set(group.claims.claimed))
        remaining = replace(group.claims, claimed=set(group.claims.claimed) - set(withdrawn))
        return (f"withdrawn: {', '.join(withdrawn) or 'none'}", *group.method.worked(remaining))

    @staticmethod
    def _withdrawn(group: Exposed) -> set[str]:
        """Rows that an unmet topic undermines; a topic met in part counts as unmet."""
        return {row for topic in group.topics if topic.share > 0.0 for row in topic.undermines}
