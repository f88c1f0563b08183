"""``none`` edition 1: security answers raise no beta."""

from __future__ import annotations

from scoring.method import About, Exposed
from scoring.units import Fraction


class Without:
    """The adjusted betas are those of the common-cause answers."""

    about = About(
        id="none",
        edition=1,
        label="none",
        source="plant convention",
        confidence="house rule",
        valid="where security is assessed apart from the numbers",
        formula=("adjusted beta = beta",),
    )

    def adjusted(self, group: Exposed) -> tuple[Fraction, Fraction]:
        """Beta and beta_D with the MooN factor, not raised."""
        return min(1.0, group.factor * group.beta_int), min(1.0, group.factor * group.beta_d_int)

    def worked(self, group: Exposed) -> tuple[str, ...]:  # noqa: ARG002  (the interface has it)
        """One line: nothing is raised."""
        return ("security answers raise no beta under this convention",)
