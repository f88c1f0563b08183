"""``iec61508-6-2010`` edition 1: points of Table D.1 to beta by Table D.4."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from scoring import common_cause
from scoring.common_cause import FIRST, Part, Row
from scoring.method import About, Claims, Estimate
from scoring.numbers import put_in
from scoring.source import table
from scoring.units import Fraction


class AnnexD:
    """Questionnaire of IEC 61508-6:2010 Annex D. Answers met and equivalent score in full, all others nothing."""

    about = About(
        id="iec61508-6-2010",
        edition=1,
        label="IEC 61508-6:2010 Annex D",
        source="IEC 61508-6:2010, Annex D, Tables D.1 to D.4",
        confidence="closure",
        valid="hardware failures of like or diverse channels; beta 0.5 to 5 % for logic, 1 to 10 % for sensors and final elements",
        formula=("S = X + Y, S_D = X (Z + 1) + Y", "beta_int = Table D.4 at S, beta_D,int = Table D.4 at S_D"),
    )

    tables = FIRST
    """Tables of this edition. An edition with a corrected table is a subclass with another ``about`` and other tables."""

    @property
    def points_source(self) -> str:
        """Document, edition and table of the points."""
        return table(self.tables.points).citation

    def rows(self, part: Part) -> Mapping[str, Row]:
        """Rows of Table D.1 that apply to a part."""
        return common_cause.rows(part, self.tables)

    def counted(self, claims: Claims) -> frozenset[str]:
        """Rows of Table D.1 whose points count: of alternatives the best claimed one."""
        return frozenset(row.id for row in common_cause.counted(claims.part, claims.claimed, tables=self.tables))

    def estimate(self, claims: Claims) -> Estimate:
        """Beta and beta_D of a pair. Z is 0 where detected failures are not acted on."""
        z = 0.0
        if claims.acted_on is not None:
            z = common_cause.diagnostic_credit(
                claims.part, coverage=claims.coverage, interval=claims.acted_on, tables=self.tables
            )
        score = common_cause.score(claims.part, claims.claimed, z=z, tables=self.tables)
        beta, beta_d = (common_cause.beta_int(claims.part, points, self.tables) for points in (score.s, score.s_d))
        return Estimate(beta, beta_d, score)

    def worst(self, part: Part) -> Fraction:
        """Worst class of Table D.4."""
        return common_cause.worst_beta(part, self.tables)

    def bands(self, part: Part) -> tuple[tuple[float, Fraction], ...]:
        """Bands of Table D.4, worst first: the score from which each holds, and its beta."""
        return common_cause.bands(part, self.tables)

    def missing(self, part: Part, points: float) -> float | None:
        """Points missing to the next better band of Table D.4; None in the best band."""
        return common_cause.points_to_next_band(part, points, self.tables)

    def thin(self, part: Part, claimed: Iterable[str]) -> tuple[str, ...]:
        """Kinds of measure that contribute under 5 % of the score S."""
        return common_cause.thin_categories(part, claimed, self.tables)

    def worked(self, claims: Claims) -> tuple[str, ...]:
        """Score and betas with the numbers of one group put in."""
        estimate = self.estimate(claims)
        score = estimate.score
        if score is None:
            return ()
        x, y, z = f"{score.x:g}", f"{score.y:g}", f"{score.z:g}"
        return (
            self._diagnostic_credit(claims, z),
            f"S = {x} + {y} = {score.s:g}, {self._band(claims.part, score.s)}: beta_int = {put_in(estimate.beta)}",
            (
                f"S_D = {x} x ({z} + 1) + {y} = {score.s_d:g}, {self._band(claims.part, score.s_d)}: "
                f"beta_D,int = {put_in(estimate.beta_d)}"
            ),
        )

    def _diagnostic_credit(self, claims: Claims, z: str) -> str:
        if claims.acted_on is None:
            return f"Z = {z}: detected failures are not acted on, or no diagnostic test interval is given"
        name = self.tables.credit_logic if claims.part == "logic" else self.tables.credit_field
        return (
            f"Z = {z}: {table(name).citation}, at coverage lambda_DD/lambda_D = {put_in(claims.coverage)} and "
            f"a diagnostic test interval of {claims.acted_on:g} h"
        )

    def _band(self, part: Part, points: float) -> str:
        """Where a score lies in Table D.4, such as ``Table D.4 for logic, 45 to below 70``."""
        limits = [limit for limit, _ in self.bands(part)]
        start = max(limit for limit in limits if limit <= points)
        end = next((limit for limit in limits if limit > points), None)
        column = "logic" if part == "logic" else "sensors and final elements"
        return f"{table(self.tables.bands).citation}, {column}, {start:g} {'or above' if end is None else f'to below {end:g}'}"
