"""Stored results of a revision: a schema of its own, independent of ``--json`` and of the screens.

``written`` returns JSON data, ``apart`` compares two of them; ``results_reader`` reads them back. A field that only few plants
need, such as the entries of a function with alternatives, is written where it is needed, so that others stay byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from math import isclose
from typing import Any

from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, Entry, FunctionResult, Gap, GroupResult, Measured, ZoneResult
from scoring.equipment import Split

Raw = Mapping[str, Any]
CLOSE = 1e-9
"""Relative difference up to which a recomputed figure counts as equal: machines may differ in the last digits."""
BETAS = ("beta_int", "beta_d_int", "voting_factor", "beta", "beta_d", "beta_adjusted", "beta_d_adjusted")


def written(
    assessment: Assessment, *, groups: tuple[str, ...], functions: tuple[str, ...], zones: tuple[str, ...]
) -> Raw:
    """Results of some groups, functions and zones as JSON data; floats with all digits."""
    return {
        "plant": assessment.plant.plant.model_dump(),
        "conventions": assessment.plant.conventions.model_dump(exclude_none=True),
        "groups": {key: _group(assessment.group(key)) for key in groups},
        "functions": {key: _function(assessment, assessment.function(key)) for key in functions},
        "zones": {key: _zone(assessment.zone(key), groups) for key in zones},
    }


def _group(group: GroupResult) -> Raw:
    score, betas = group.score, group.betas
    points = score and {"x": score.x, "y": score.y, "z": score.z, "s": score.s, "s_d": score.s_d}
    return {
        "voting": str(group.voting),
        **({"stated": True} if group.stated else {}),
        "part": group.part,
        "score": points,
        **(dict.fromkeys(BETAS) if betas is None else asdict(betas)),
        "beta_band": None if group.beta_band is None else list(group.beta_band),
        "exposure": group.exposure,
        **{name: measured and asdict(measured.cases) for name, measured in _measures(group)},
        "parts": group.low and _split(group.low.adjusted),
        "splits": {name: measured and _splits(measured) for name, measured in _measures(group)},
        "bands": {name: measured and _band(measured.band) for name, measured in _measures(group)},
        **_terms(group),
        "asked": group.asked,
        "unanswered": group.unanswered,
    }


def _measures(group: GroupResult) -> tuple[tuple[str, Measured | None], ...]:
    return (("pfd", group.low), ("pfh", group.high))


def _terms(group: GroupResult) -> Raw:
    """Time in test, test error and stated result by measure; nothing where there are none."""
    terms = {name: asdict(measured.terms) for name, measured in _measures(group) if measured}
    return {"terms": terms} if any(any(each.values()) for each in terms.values()) else {}


def _splits(measured: Measured) -> Raw:
    return {"scored": _split(measured.scored), "adjusted": _split(measured.adjusted)}


def _split(split: Split | None) -> Raw | None:
    return None if split is None else asdict(split)


def _band(band: Band | None) -> Raw | None:
    return None if band is None else asdict(band)


def _entries(assessment: Assessment, function: FunctionResult) -> Raw:
    """Entries of a function that votes a group otherwise or has alternatives; nothing for others."""
    if all(isinstance(entry, str) for entry in assessment.plant.functions[function.id].groups):
        return {}
    return {"entries": [_entry(entry) for entry in function.entries]}


def _entry(entry: Entry) -> Raw:
    if entry.beta is None:
        return {"group": entry.id, "result": _group(entry.groups[0])}
    measured = entry.measured
    figures = {"cases": asdict(measured.cases), "splits": _splits(measured), "band": _band(measured.band)}
    return {"any": [group.id for group in entry.groups], "beta": entry.beta, **figures}


def _function(assessment: Assessment, function: FunctionResult) -> Raw:
    cases, low = function.cases, function.demand == "low"
    return {
        "demand": function.demand,
        "groups": [group.id for group in function.groups],
        **_entries(assessment, function),
        ("pfd" if low else "pfh"): asdict(cases),
        "rrf": {case: 1.0 / value for case, value in asdict(cases).items()} if low else None,
        "target": function.target,
        "meets_target": {case: function.meets(case) for case in ("scored", "adjusted")},
        "share": function.share,
        "benefit_ideal": cases.benefit_ideal,
        "benefit_kept": cases.benefit_kept,
        "share_kept": cases.share_kept,
        "band": _band(function.band),
        "breakeven_compromise": function.break_even,
        "unreviewed": list(function.unreviewed),
    }


def _zone(zone: ZoneResult, groups: tuple[str, ...]) -> Raw:
    """A zone with its groups that belong to the system; groups of other systems are not named."""
    return {
        "reviewed": zone.reviewed,
        "sl_target": zone.target,
        "sl_indicated": {fr: level.indicated for fr, level in zone.levels.items()},
        "levels": {fr: asdict(level) for fr, level in zone.levels.items()},
        "short": zone.short,
        "asked": zone.asked,
        "not_asked": zone.not_asked,
        "gaps": [_gap(gap, zone) for gap in zone.gaps],
        "groups": [key for key in groups if key in zone.groups],
        "reach": list(zone.reach),
    }


def _gap(gap: Gap, zone: ZoneResult) -> Raw:
    return {
        "topic": gap.question if gap.is_topic else None,
        "fr": list(gap.fr),
        "sr": list(gap.requirements),
        "answer": gap.value,
        "weight": gap.weight if gap.is_topic else None,
        "reach": list(zone.reach),
    }


def apart(stored: Any, computed: Any, place: str = "results") -> Iterator[str]:
    """Places at which stored and computed results differ. Computed fields that are not stored are ignored."""
    if isinstance(stored, Mapping) and isinstance(computed, Mapping):
        for name in stored:
            if name in computed:
                yield from apart(stored[name], computed[name], f"{place}.{name}")
            else:
                yield f"{place}.{name} is stored, but not computed"
    elif isinstance(stored, list) and isinstance(computed, list | tuple) and len(stored) == len(computed):
        for at, pair in enumerate(zip(stored, computed, strict=True)):
            yield from apart(*pair, f"{place}[{at}]")
    elif _number(stored) and _number(computed):
        if not isclose(stored, computed, rel_tol=CLOSE):
            yield f"{place} is {stored}, computed {computed}{_by(stored, computed)}"
    elif stored != computed:
        yield f"{place} is {stored!r}, computed {computed!r}"


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _by(stored: float, computed: float) -> str:
    """The relative difference of two figures, in brackets."""
    return f" ({(computed - stored) / stored:+.2%})" if stored else ""
