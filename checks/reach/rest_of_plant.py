"""A part of a plant, with all that lies beyond it taken as one place: for a revision, which holds one system only."""

from __future__ import annotations

from collections.abc import Collection

from checks.plantfile.plant import Plant, Zone

REST = "the rest of the plant"
"""Stands for every zone beyond the part, and for what lies outside; no id of a zone has a space."""

JOINED = (
    "A revision holds the zones of its system and the conduits into them. What lies beyond counts as one place, where a compromise "
    "passes everywhere (house rule): the part of the plant that would say more is not in it."
)


def joined(plant: Plant, zones: Collection[str]) -> Plant:
    """The plant with everything but the zones of its groups as one zone, ``REST``; conduits inside it are left out."""

    def place(zone: str | None) -> str | None:
        return zone if zone in zones or zone is None else REST

    conduits = {
        key: conduit.model_copy(
            update={"between": [place(end) for end in conduit.between], "one_way_to": place(conduit.one_way_to)}
        )
        for key, conduit in plant.conduits.items()
        if set(conduit.between) & set(zones)
    }
    return plant.model_copy(
        update={
            "zones": {REST: Zone(), **{key: zone for key, zone in plant.zones.items() if key in zones}},
            "conduits": conduits,
            "functions": {
                key: function.model_copy(update={"demand_zone": place(function.demand_zone)})
                for key, function in plant.functions.items()
            },
        }
    )
