"""Impact vectors: how many channels one failure event affected, as counts n_1 … n_m of a group of m channels."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import comb

from scoring.limits import OutOfRange, within
from scoring.method import About
from scoring.units import Fraction

IMPACT_VECTORS = About(
    id="impact-vectors",
    edition=1,
    label="impact vectors, mapped to a smaller group",
    source="US NRC NUREG/CR-5485 (1998) and NUREG/CR-4780 (1988), impact vectors and mapping down (from memory)",
    confidence="memory",
    valid="like channels; from a larger group to a smaller one. To a larger group the rule needs a parameter of judgement",
    formula=(
        "event of k channels, shared cause with weight w: n_k = w, n_1 = (1 - w) k",
        "mapped from m to l channels: n_j(l) = sum over k of C(k,j) C(m-k,l-j) / C(m,l) n_k(m)",
    ),
)


def impact_vector(*, failed: int, size: int, weight: Fraction = 1.0) -> tuple[float, ...]:
    """Counts n_1 … n_size of one event; raises OutOfRange.

    ``failed`` channels of ``size`` failed. ``weight`` is the probability that they have a shared cause; with the rest of it they
    are independent failures. For one failed channel it has no meaning.

    >>> impact_vector(failed=2, size=3, weight=0.5)
    (1.0, 0.5, 0.0)
    """
    within("size", size, 1, 100)
    within("failed", failed, 1, size)
    within("weight", weight, 0.0, 1.0)
    shared = 1.0 if failed == 1 else weight
    counts = [0.0] * size
    counts[failed - 1] += shared
    counts[0] += (1.0 - shared) * failed
    return tuple(counts)


def mapped_down(counts: Sequence[float], *, size: int) -> tuple[float, ...]:
    """Counts of a group as those of ``size`` channels out of it, chosen at random; raises OutOfRange for a larger group.

    What affects none of the chosen channels is lost, so an event keeps at most its count.

    >>> mapped_down((1.0, 0.0, 0.0, 0.0), size=3), mapped_down((0.0, 0.0, 1.0), size=2)
    ((0.75, 0.0, 0.0), (0.0, 1.0))
    """
    fitted = len(counts)
    if not 1 <= size <= fitted:
        raise OutOfRange("size", size, f"counts of {fitted} channels map to 1 to {fitted} channels only")
    ways = comb(fitted, size)
    return tuple(
        sum(
            comb(failed, kept) * comb(fitted - failed, size - kept) / ways * count
            for failed, count in enumerate(counts, start=1)
            if kept <= failed
        )
        for kept in range(1, size + 1)
    )


def total(vectors: Iterable[Sequence[float]], *, size: int) -> tuple[float, ...]:
    """Sum of impact vectors of groups of ``size`` channels; zeros without any."""
    sums = [0.0] * size
    for vector in vectors:
        if len(vector) != size:
            raise OutOfRange("impact vector", tuple(vector), f"must have {size} counts; map it first")
        sums = [known + count for known, count in zip(sums, vector, strict=True)]
    return tuple(sums)
