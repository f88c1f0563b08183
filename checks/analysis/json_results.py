"""An assessment as plain data for ``python -m checks score --json``. Fractions, not per cent; null, never NaN."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from checks.analysis import beta_opinions, json_details, second_opinion
from checks.assessment.assessment import Assessment
from checks.assessment.editions import named
from checks.assessment.results import Entry, FunctionResult, Gap, GroupResult, ZoneResult
from checks.reach import compromise
from scoring.timeline.method import ABOUT, TIMELINE


def outcome(assessment: Assessment, *, second: bool = False, curve: bool = False) -> dict[str, Any]:
    """All results of a plant: groups, functions and zones by id.

    ``second`` adds what stands beside each result (see ``json_details``), ``curve`` each function over its mission.
    """
    plant = assessment.plant
    results = {
        "plant": plant.plant.model_dump(),
        "conventions": plant.conventions.model_dump(exclude_none=True),
        "methods": assessment.editions.methods_named(),
        **({"group_methods": own} if (own := assessment.editions.group_methods_named(plant.groups)) else {}),
        "groups": {key: _group(assessment.group(key)) for key in plant.groups},
        "functions": {key: _function(assessment, assessment.function(key)) for key in plant.functions},
        "zones": {key: _zone(assessment.zone(key)) for key in plant.zones},
    }
    if second or curve:
        for key in plant.functions:
            results["functions"][key] |= _by_timeline(assessment, key, second=second, curve=curve)
    if second:
        for key in plant.groups:
            over = assessment.on_timeline(key)
            other = second_opinion.ANNEX_B if over else TIMELINE
            opinions = {other: second_opinion.of_group(assessment, key), **beta_opinions.figures(assessment, key)}
            method = named(assessment.editions.redundancy_of(key).about)
            beta = {kind: named for kind, named in own.get(key, {}).items() if kind == "beta"}
            results["groups"][key] |= {"method": method | beta, "second": opinions}
            results["groups"][key] |= json_details.of_group(assessment, key)
        for key in plant.functions:
            results["functions"][key] |= json_details.of_function(assessment, key)
        results |= json_details.of_plant(plant)
    return results


def _by_timeline(assessment: Assessment, key: str, *, second: bool, curve: bool) -> dict[str, Any]:
    """A function by the second method, in its measure with common cause, and over its mission [h]."""
    opinion = second_opinion.second_opinion(assessment, key)
    added: dict[str, Any] = {}
    if second and opinion is not None and opinion.carried:
        by_annex_b = opinion.function.annex_b
        added |= {"method": named(ABOUT), "second": {second_opinion.ANNEX_B: by_annex_b and by_annex_b[0]}}
    elif second:
        timeline, method = opinion and opinion.function.timeline, assessment.method_of(key)
        added |= {"method": named(method), "second": {TIMELINE: timeline and timeline[0]}}
    if second:
        added["peak"] = opinion and asdict(opinion.peak)
    if curve:
        drawn = opinion and opinion.curve
        added["curve"] = drawn and {
            "whole_mission": drawn.whole,
            "hours": drawn.hours.tolist(),
            "scored": drawn.scored.tolist(),
            "adjusted": drawn.adjusted.tolist(),
            "tested_together": None if drawn.together is None else drawn.together.tolist(),
            "tests": {group: instants.tolist() for group, instants in drawn.tests.items()},
        }
    return added


def _group(group: GroupResult) -> dict[str, Any]:
    score, betas = group.score, group.betas
    none = dict.fromkeys(
        ("beta_int", "beta_d_int", "voting_factor", "beta", "beta_d", "beta_adjusted", "beta_d_adjusted")
    )
    return {
        "voting": None if group.stated else str(group.voting),
        "part": group.part,
        "score": score and {"x": score.x, "y": score.y, "z": score.z, "s": score.s, "s_d": score.s_d},
        **(none if betas is None else asdict(betas)),
        "exposure": group.exposure,
        "pfd": group.low and asdict(group.low.cases),
        "pfh": group.high and asdict(group.high.cases),
        "parts": asdict(group.low.adjusted) if group.low and group.low.adjusted else None,
        "terms": {"pfd": group.low and asdict(group.low.terms), "pfh": group.high and asdict(group.high.terms)},
    }


def _entry(entry: Entry) -> dict[str, Any]:
    """An entry of a function as this function votes it, in its measure."""
    measured = entry.measured
    return {
        "id": entry.id,
        "voting": None if entry.groups[0].stated or entry.beta is not None else str(entry.groups[0].voting),
        "cases": asdict(measured.cases),
        "parts": measured.adjusted and asdict(measured.adjusted),
        "terms": asdict(measured.terms),
    }


def _function(assessment: Assessment, function: FunctionResult) -> dict[str, Any]:
    cases = asdict(function.cases)
    low = function.demand == "low"
    return {
        "demand": function.demand,
        ("pfd" if low else "pfh"): cases,
        "rrf": {case: 1.0 / value for case, value in cases.items()} if low else None,
        "target": function.target,
        "target_sil": function.target_sil,
        "entries": list(map(_entry, function.entries)),
        "meets_target": {case: function.meets(case) for case in ("scored", "adjusted")},
        "share": function.share,
        "benefit_ideal": function.cases.benefit_ideal,
        "benefit_kept": function.cases.benefit_kept,
        "share_kept": function.cases.share_kept,
        "breakeven_compromise": function.break_even,
        "breakeven_compromise_scored": function.break_even_scored,
        "defeated_by": [way.zone for way in compromise.ways(assessment, function.id)],
    }


def _zone(zone: ZoneResult) -> dict[str, Any]:
    return {
        "sl_target": zone.target,
        "sl_indicated": {fr: level.indicated for fr, level in zone.levels.items()},
        "short": zone.short,
        "asked": zone.asked,
        "not_asked": zone.not_asked,
        "gaps": [_gap(gap, zone) for gap in zone.gaps],
        "reach": list(zone.reach),
    }


def _gap(gap: Gap, zone: ZoneResult) -> dict[str, Any]:
    return {
        "topic": gap.question if gap.is_topic else None,
        "fr": list(gap.fr),
        "sr": list(gap.requirements),
        "answer": gap.value,
        "weight": gap.weight if gap.is_topic else None,
        "reach": list(zone.reach),
    }
