"""Where the score of a group stands among the bands that give its beta."""

from __future__ import annotations

from dataclasses import dataclass

from checks.assessment.assessment import Assessment
from scoring.method import Claims


@dataclass(frozen=True, slots=True)
class ScoreBands:
    """Bands of the score S, worst first, each with the score from which it holds and its 1oo2 beta.

    ``score`` is the present score, ``most`` that with every question met.
    """

    bands: tuple[tuple[float, float], ...]
    score: float
    most: float

    @property
    def at(self) -> int:
        """Index of the present band."""
        return max(index for index, (start, _) in enumerate(self.bands) if start <= self.score)

    @property
    def following(self) -> tuple[float, float] | None:
        """The next better band: the score from which it holds, and its beta; None in the best band."""
        return self.bands[self.at + 1] if self.at + 1 < len(self.bands) else None

    @property
    def missing(self) -> float | None:
        """Points to the next better band; None in the best band."""
        return None if self.following is None else self.following[0] - self.score

    @property
    def within_reach(self) -> bool:
        """Whether answers alone can reach the next better band."""
        return self.following is not None and self.following[0] <= self.most


def of_group(assessment: Assessment, key: str) -> ScoreBands | None:
    """The bands and the score of a group; None where no questionnaire gives its beta."""
    score, method = assessment.group(key).score, assessment.beta_method(key)
    part = assessment.plant.groups[key].part
    bands = method.bands(part)
    best = method.estimate(Claims(part, frozenset(method.rows(part)), 0.0, None)).score
    if score is None or best is None or not bands:
        return None
    return ScoreBands(bands, score.s, best.s)
