"""Time to find what a compromise reaches in the large plant, its zones joined by a ring, from every foothold."""

from __future__ import annotations

from functools import partial

from checks.plantfile.plant import Conduit, Plant
from checks.reach import footholds, independence
from tests.bench.figures import Line, once
from tests.bench.large_plant import SAFETY_ZONES


def measure(plant: Plant) -> list[Line]:
    """One line for a foothold, and one for the functions that are not independent."""
    outer = list(plant.zones)[SAFETY_ZONES:]
    ring = {f"R{at}": Conduit(between=[outer[at - 1], zone]) for at, zone in enumerate(outer)}
    joined = plant.model_copy(update={"conduits": {**plant.conduits, **ring}})
    took = [once(partial(footholds.from_foothold, joined, key))[1] for key in footholds.footholds(joined)]
    together = once(partial(independence.defeated_together, joined))[1]
    return [
        Line("large plant: reach of a compromise from one foothold", took, aim=0.3),
        Line("large plant: functions that one zone defeats together", [together]),
    ]
