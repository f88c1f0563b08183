"""Which actions change places if a house constant is half or twice as large: no standard gives these constants."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import log

from checks.assessment.assessment import MOVES
from checks.improvement import gains
from checks.improvement.gains import Gain
from checks.improvement.model import Model
from scoring.exposure import CLASS_VALUE

EITHER_WAY = (0.5, 2.0)
EXPLAINED = (
    "The exposure of a topic of weight 3, 2 and 1, and the smallest change that is reported, are house rules. Each is halved "
    "and doubled; an answer whose place by gain for effort changes is marked."
)


def dependent(model: Model) -> frozenset[int]:
    """Actions whose place in the order of gain alone for effort changes with a house constant."""
    base = gains.largest(model)
    present = _places(model, base, MOVES)
    changed: set[int] = set()
    for others in _varied(model, base):
        changed |= {at for at, place in enumerate(others) if place != present[at]}
    return frozenset(changed)


def _varied(model: Model, base: list[Gain | None]) -> Iterator[list[int]]:
    """Places with each house constant by a factor either way."""
    for factor in EITHER_WAY:
        yield _places(model, base, MOVES * factor)
        if model.case == "adjusted":
            for weight in CLASS_VALUE:
                varied = replace(model, problem=model.problem.with_class_value(weight, factor))
                yield _places(model, gains.largest(varied), MOVES)


def _places(model: Model, listed: list[Gain | None], moves: float) -> list[int]:
    """Place of each action; those that gain less than the smallest change share the last place."""
    worth = [0.0 if gain is None or gain.factor - 1.0 < moves else log(gain.factor) for gain in listed]
    order = [gain / effort for gain, effort in zip(worth, model.problem.efforts, strict=True)]
    ranks = {at: sum(other > own * (1.0 + 1e-9) for other in order) for at, own in enumerate(order)}
    last = len(order)
    return [ranks[at] if own > 0.0 else last for at, own in enumerate(order)]
