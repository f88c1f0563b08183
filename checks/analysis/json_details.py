"""What ``--all`` adds: uncertainty, spurious trips and architecture beside each result, and the reach of a compromise.

Plain data; null, never NaN.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from checks.analysis import architecture, spurious_trips, uncertainty
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from checks.reach import footholds, independence
from checks.reach.footholds import Foothold
from scoring.uncertainty.method import ABOUT as ABOUT_UNCERTAINTY


def of_group(assessment: Assessment, key: str) -> dict[str, Any]:
    """The PFH of a group in its parts, its spurious trips, and the band of its PFDavg."""
    trips, high = spurious_trips.of_group(assessment, key).trips, assessment.group(key).high
    return {
        "parts_pfh": asdict(high.adjusted) if high and high.adjusted else None,
        "spurious_trips_per_year": {each.convention: _trips(each) for each in trips},
        **_uncertain(uncertainty.of_group(assessment, key, "pfd")),
    }


def of_function(assessment: Assessment, key: str) -> dict[str, Any]:
    """Band, spurious trips and architecture of a function: separate statements beside its result."""
    trips, stated = spurious_trips.of_function(assessment, key), architecture.of_function(assessment, key)
    return {
        **_uncertain(uncertainty.of_function(assessment, key)),
        "spurious_trips_per_year": {
            total.convention: {
                "value": total.per_year,
                "common_cause": total.common if total.complete else None,
                "at_least": total.known,
            }
            for total in trips.totals
        },
        "architecture": {
            "sil_of_target": stated.sil,
            "groups": {group.id: _architecture(group) for group in stated.groups},
            "devices": {device.id: {"coverage": device.coverage, "sff": device.sff} for device in stated.devices},
            "lowest_systematic_capability": stated.capability,
        },
    }


def of_plant(plant: Plant) -> dict[str, Any]:
    """What a compromise reaches from each foothold, and what is not independent."""
    reached = {key: _foothold(footholds.from_foothold(plant, key)) for key in footholds.footholds(plant)}
    return {"reached_from": reached, "not_independent": _not_independent(plant)}


def _uncertain(found: Uncertainty | None) -> dict[str, Any]:
    """The band of a result with common cause and the share of each input; RRF or PFH of a function, PFDavg of a group.

    Null where no input is uncertain.
    """
    if found is None:
        return {"band": None, "rests_on": None}
    function = found.misses is not None
    inverted = function and found.measure == "pfd"
    band = {
        "measure": "rrf" if inverted else found.measure,
        **asdict(found.band.inverse if inverted else found.band),
        **({"misses_target": found.misses} if function else {}),
        "samples": found.samples,
        "seed": found.seed,
        "method": [{"id": about.id, "edition": about.edition} for about in (ABOUT_UNCERTAINTY, found.method)],
    }
    shares = [
        {"input": part.input.name, "kind": part.input.kind, "of": part.input.key, "share": part.share}
        for part in found.rests_on
    ]
    return {"band": band, "rests_on": shares}


def _trips(trips: spurious_trips.Trips) -> dict[str, Any]:
    return {"value": trips.per_year, "common_cause": trips.common_per_year, "missing": trips.missing or None}


def _architecture(group: architecture.GroupArchitecture) -> dict[str, Any]:
    routes = {each.route: {"asked": each.asked, "holds": each.holds, "words": each.words} for each in group.statements}
    return {"hft": group.hft, "routes": routes, "systematic_capability": group.capability}


def _foothold(reach: Foothold) -> dict[str, Any]:
    """What a compromise reaches from one foothold. The foothold itself, if it is a zone, is a zone at distance 0."""
    return {
        "zones": {
            zone.zone: {"distance": zone.distance, "conduits": list(zone.conduits), "groups": list(zone.groups)}
            for zone in reach.zones
        },
        "functions": {
            fallen.function: {
                "distance": fallen.distance,
                "zones": list(fallen.zones),
                "groups": list(fallen.groups),
                "demand_distance": fallen.demand_distance,
            }
            for fallen in reach.functions
        },
        "closings": {
            closing.conduit: {"zones_left": list(closing.zones_left), "functions_left": list(closing.functions_left)}
            for closing in reach.closings
        },
        "separations": {separation.zone: list(separation.conduits) for separation in reach.separations},
    }


def _not_independent(plant: Plant) -> dict[str, Any]:
    """Functions that one zone defeats together, by zone, and functions that the zone of their demand defeats."""
    return {
        "functions": {
            together.zone: {key: list(groups) for key, groups in together.functions.items()}
            for together in independence.defeated_together(plant)
        },
        "demands": {
            shared.function: {"zone": shared.zone, "groups": list(shared.groups)}
            for shared in independence.demands_from_same_zone(plant)
        },
    }
