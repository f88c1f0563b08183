"""Small plants of zones and conduits, built and drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import strategies as st

from checks.plantfile.plant import OUTSIDE, Plant

Ends = tuple[str, str]


def zoned(
    zones: Sequence[str],
    conduits: Mapping[str, Mapping[str, Any]],
    groups: Mapping[str, str | None] | None = None,
    functions: Mapping[str, Mapping[str, Any]] | None = None,
    relays: Sequence[str] = (),
) -> Plant:
    """A plant of zones, conduits, groups by their zone, functions; ``relays`` are groups that are not programmable."""
    common = {"part": "final", "voting": "1oo1", "channels": [["V"]], "mttr_h": 8, "mrt_h": 8}
    placed = {"v": None} if groups is None else groups
    raw = {
        "format": 2,
        "plant": {"name": "Zones"},
        "conventions": {},
        "devices": {"V": {"lambda_du_fit": 100}},
        "zones": {zone: {} for zone in zones},
        "conduits": conduits,
        "groups": {
            key: {
                **common,
                "zone": zone,
                "programmable": key not in relays,
                "proof_test": {"interval_h": 8760, "coverage": 1.0},
            }
            for key, zone in placed.items()
        },
        "functions": {
            key: {"demand": "low", "target_sil": 1, **function} for key, function in (functions or {}).items()
        },
    }
    return Plant.model_validate(raw)


@st.composite
def plants(draw: st.DrawFn) -> Plant:
    """Plants of up to six zones and eight conduits, some closed or one way; groups and alternatives anywhere."""
    zones = [f"Z{at}" for at in range(draw(st.integers(1, 6)))]
    places = [*zones, OUTSIDE]
    conduits = {}
    for at in range(draw(st.integers(0, 8))):
        ends = draw(st.lists(st.sampled_from(places), min_size=2, max_size=2, unique=True))
        diode = draw(st.none() | st.none() | st.sampled_from(ends))
        flow = draw(st.sampled_from(["both ways", "read", "", "by hand", "none"]))
        conduits[f"C{at}"] = {"between": ends, "flow": flow, "one_way_to": diode}
    groups = {f"g{at}": draw(st.none() | st.sampled_from(zones)) for at in range(draw(st.integers(2, 6)))}
    relays = draw(st.lists(st.sampled_from(list(groups)), max_size=2))
    functions = {f"F{at}": draw(_functions(list(groups), zones)) for at in range(draw(st.integers(0, 4)))}
    return zoned(zones, conduits, groups, functions, relays)


@st.composite
def _functions(draw: st.DrawFn, groups: list[str], zones: list[str]) -> dict[str, Any]:
    chosen = draw(st.lists(st.sampled_from(groups), min_size=1, max_size=4, unique=True))
    alternatives = draw(st.booleans()) and len(chosen) > 1
    shared = {"beta": 0.1, "source": "invented"}
    entries = [{"any": chosen[:2], "stated_beta": shared}, *chosen[2:]] if alternatives else chosen
    return {"groups": entries, "demand_zone": draw(st.none() | st.sampled_from(zones))}
