"""Fingerprint: the hash of the results of a fixed small plant with one set of editions.

A revision stores it. If a later program computes other figures from the facts of a revision, the fingerprint tells why:
if it differs too, the program has changed; if it is the same, the revision was tampered with.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from checks.assessment.assessment import Assessment
from checks.assessment.editions import Editions
from checks.plantfile import plant_file
from checks.revision import stored_results
from checks.text.canonical import canonical
from scoring.beta.by_grades import asked_by
from scoring.common_cause import PARTS
from scoring.method import BetaMethod, Claims

PROBE = Path(__file__).parent / "probe.yaml"
"""The fixed plant. It never changes; a different plant would be a new file."""
RELEASE_2 = {
    ("iec61508-6-2010", "graded"): "dfd4d473c0bf10a7c68ddceaafdb5fc155b8f617cb3838e5553bb945d7fd181e",
    ("iec61508-6-2010", "none"): "5a3d34cc5844b2327ed230db2216db908d4b78b51ff564335700e27573f06b2b",
    ("pds-2013", "graded"): "ca24de4d47956f3b3930778ef14c9d851413d98c4dae2d448b803e848529d795",
    ("pds-2013", "none"): "c9eb546f53a540e56f44785d071c83a69d59f36d4374fe6f140aadad463ad200",
    ("none", "graded"): "94286a17ef5dce12b668b74a9f383b5e9b65340769ff618665accd6a3b57a426",
    ("none", "none"): "60bd1ee6930a5c151cc242e342830721fb636a92fbc07137b6bfdd65607f7980",
}
"""Fingerprints of releases 1 and 2, by MooN factor and exposure rule; these releases did not store them."""
DIGITS = 9
FIELDS = {
    "groups": ("score", *stored_results.BETAS, "exposure", "pfd", "pfh"),
    "functions": ("target", "meets_target", "share", "breakeven_compromise"),
    "zones": ("sl_indicated", "short", "asked", "gaps"),
}
"""Results in the fingerprint. Fields added later are left out, so that the hash does not change."""


@cache
def of(editions: Editions) -> str:
    """SHA-256 of the results of the probe with these editions, rounded to nine digits; 64 hexadecimal digits.

    Where groups have methods of their own, of what each of these gives too.
    """
    if editions.of_groups:
        plain = replace(editions, of_groups=())
        betas = dict.fromkeys(editions.betas_of_groups.values())
        others = dict.fromkeys(editions.redundancy_of_groups.values())
        own = sorted([*map(_of_beta, betas), *(of(replace(plain, redundancy=method)) for method in others)])
        return sha256(canonical([of(plain), *own])).hexdigest()
    plant = plant_file.read(PROBE)
    assessment = Assessment(plant, editions=editions)
    results = stored_results.written(
        assessment, groups=tuple(plant.groups), functions=tuple(plant.functions), zones=tuple(plant.zones)
    )
    figures = {
        block: {key: [result[field] for field in FIELDS[block]] for key, result in results[block].items()}
        for block in FIELDS
    }
    return sha256(canonical(_rounded(figures))).hexdigest()


def _of_beta(method: BetaMethod) -> str:
    """SHA-256 of the betas of a method for groups, with its name."""
    return sha256(canonical([method.about.name, _rounded(list(_betas(method)))])).hexdigest()


def _betas(method: BetaMethod) -> Iterator[float]:
    """Betas of a method for each part: without any measure, with every row met, and at each grade of its own questions."""
    asked = asked_by(method)
    printed = {} if asked is None else {name: list(row) for name, row in asked.points().items()}
    for part in PARTS:
        yield method.worst(part)
        yield method.estimate(Claims(part, frozenset(method.rows(part)), 0.0, None)).beta
        for at in range(max(map(len, printed.values()), default=0)):
            grades = {name: listed[min(at, len(listed) - 1)] for name, listed in printed.items()}
            yield method.estimate(Claims(part, (), 0.0, None, grades)).beta


def of_release_2(editions: Editions) -> str:
    """Fingerprint of releases 1 and 2 with these conventions."""
    return RELEASE_2[editions.moon_factor.about.id, editions.exposure.about.id]


def _rounded(value: Any) -> Any:
    """Data with floats of nine digits: machines may differ in the last of sixteen. Reach is not a figure and left out."""
    if isinstance(value, dict):
        return {name: _rounded(part) for name, part in value.items() if name != "reach"}
    if isinstance(value, list):
        return [_rounded(part) for part in value]
    return f"{value:.{DIGITS - 1}e}" if isinstance(value, float) else value
