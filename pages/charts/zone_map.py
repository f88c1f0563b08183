"""Zone and conduit diagram: one box per zone, one line per conduit, safety zones with a double border.

Where it shows the reach of a compromise, a zone reached has a filled tab with its distance in conduits, the conduits of the
shortest ways are heavy lines, and a closed conduit is dotted.
"""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import wrap

import plotly.graph_objects as go

from checks.assessment.results import ZoneResult
from checks.plantfile.plant import OUTSIDE, Plant
from checks.reach.conduit_graph import directions
from checks.reach.footholds import Foothold
from pages.charts.plotly_figures import Data, figure, frame
from pages.presentation.palette import Palette
from pages.presentation.wording import counted, in_chart

Position = tuple[float, float]
HALF = (0.45, 0.37)
"""Half the width and height of a box: five short lines fit into it, on a narrow screen too."""
LABEL = {"showarrow": False, "font": {"size": 11}}
PER_ROW, MOST_NEIGHBOURS = 4, 16
"""Neighbours in a row and in all, where only the neighbourhood of a zone is drawn."""
MOST_DRAWN = 16
"""Maximum zones of a map of the whole plant; of a larger one the neighbourhood of the chosen zone is drawn."""
LETTERS = 15
"""Letters of a zone's name on one line; the tables have it whole."""


def positions(plant: Plant) -> dict[str, Position]:
    """Position of each zone: the row is its distance in conduits from the safety zones, the column its rank in the row."""
    joined: dict[str, list[str]] = {key: [] for key in plant.zones}
    for conduit in plant.conduits.values():
        first, other = conduit.between
        joined.setdefault(first, []).append(other)
        joined.setdefault(other, []).append(first)
    edge = [key for key, zone in plant.zones.items() if zone.safety_related] or list(plant.zones)[:1]
    steps: dict[str, int] = dict.fromkeys(edge, 0)
    while edge:
        edge = [key for key in dict.fromkeys(near for zone in edge for near in joined[zone]) if key not in steps]
        steps.update(dict.fromkeys(edge, max(steps.values()) + 1))
    last = max(steps.values(), default=0) + 1
    rows: dict[int, list[str]] = {}
    for key in joined:
        rows.setdefault(steps.get(key, last), []).append(key)
    return {
        key: (1.18 * (index - (len(keys) - 1) / 2.0), -float(row))
        for row, keys in rows.items()
        for index, key in enumerate(keys)
    }


def neighbours(plant: Plant, chosen: str) -> list[str]:
    """Zones, and what lies outside the plant, that one conduit joins to a zone."""
    ends = (conduit.between for conduit in plant.conduits.values() if chosen in conduit.between)
    return list(dict.fromkeys(end for between in ends for end in between if end != chosen))


def around(plant: Plant, chosen: str) -> dict[str, Position]:
    """Position of a zone in the middle and of its neighbours in rows above and below it, at most ``MOST_NEIGHBOURS``."""
    shown = neighbours(plant, chosen)[:MOST_NEIGHBOURS]
    placed: dict[str, Position] = {chosen: (0.0, 0.0)}
    for number in range(0, len(shown), PER_ROW):
        row, keys = number // PER_ROW, shown[number : number + PER_ROW]
        height = (row // 2 + 1.0) * (1.0 if row % 2 == 0 else -1.0)
        placed |= {key: (1.18 * (index - (len(keys) - 1) / 2.0), height) for index, key in enumerate(keys)}
    return placed


Drawn = tuple[list[Data], Data]
"""Shapes, and the label on them."""


def _box(plant: Plant, key: str, spot: Position, summary: str, palette: Palette, chosen: str) -> Drawn:
    """The box of a zone, or of what lies outside; of a double border the outer one first, so that the inner one is on top."""
    zone = plant.zones.get(key)
    line = {"color": palette.kept if key == chosen else palette.ink, "width": 3 if key == chosen else 1.5}
    boxes = []
    for more in (0.045, 0.0) if zone and zone.safety_related else (0.0,):
        wide, tall = HALF[0] + more * 0.7, HALF[1] + more
        ends = {"x0": spot[0] - wide, "x1": spot[0] + wide, "y0": spot[1] - tall, "y1": spot[1] + tall}
        boxes.append({"type": "rect", "layer": "below", **ends, "line": line, "fillcolor": palette.paper})
    description = "outside the plant" if zone is None else f"{_name(zone.name)}<br>{summary}"
    return boxes, {"x": spot[0], "y": spot[1], **LABEL, "text": f"<b>{in_chart(key)}</b><br>{description}"}


def _tab(spot: Position, distance: int, palette: Palette) -> Drawn:
    """The tab of a zone reached, in the upper left corner of its box, with its distance in conduits."""
    x, y = spot[0] - HALF[0], spot[1] + HALF[1]
    ends = {"x0": x, "x1": x + 0.15, "y0": y - 0.2, "y1": y}
    box = {"type": "rect", "layer": "below", **ends, "line": {"width": 0}, "fillcolor": palette.ink}
    look = {**LABEL, "font": {"size": 12, "color": palette.paper}}
    return [box], {"x": x + 0.075, "y": y - 0.1, **look, "text": f"<b>{distance}</b>"}


def _conduit(plant: Plant, key: str, ends: tuple[Position, Position], look: Data, palette: Palette) -> Drawn:
    """Line and label of a conduit; the label is closer to the outer zone, where fewer lines meet."""
    (x0, y0), (x1, y1) = ends
    share = 0.5 if y0 == y1 else 0.44 if y0 < y1 else 0.56
    line = {"type": "line", "layer": "below", "x0": x0, "y0": y0, "x1": x1, "y1": y1, "line": look}
    spot = {"x": x0 + (x1 - x0) * share, "y": y0 + (y1 - y0) * share}
    diode = plant.conduits[key].one_way_to
    text = f"{key} to {diode}" if diode else key
    return [line], {**spot, **LABEL, "bgcolor": palette.paper, "text": in_chart(text)}


def _summary(result: ZoneResult | None) -> str:
    if result is None:
        return "another team's"
    if not result.reviewed:
        return "not reviewed"
    short = sum(1 for missing in result.short.values() if missing)
    return (
        f"{len(result.gaps)} gaps<br>{short} of {len(result.target)} below SL-T"
        if result.target
        else f"{len(result.gaps)} gaps"
    )


def _reach_summary(reach: Foothold, key: str) -> str:
    """How far a zone is from the foothold, and how many functions fall by it."""
    distance = next((zone.distance for zone in reach.zones if zone.zone == key), None)
    if distance is None:
        return "not reached"
    functions = sum(1 for function in reach.functions if key in function.zones)
    place = "foothold" if key == reach.id else f"after {counted(distance, 'conduit')}"
    return f"{place}<br>{counted(functions, 'function')}" if functions else place


def _line(plant: Plant, key: str, palette: Palette, reach: Foothold | None) -> Data:
    """The look of the line of a conduit."""
    conduit = plant.conduits[key]
    if reach is None:
        return {"color": palette.quiet, "width": 2, "dash": "dot" if OUTSIDE in conduit.between else "solid"}
    if not directions(conduit):
        return {"color": palette.quiet, "width": 1.5, "dash": "dot"}
    passed = any(key in zone.conduits for zone in reach.zones)
    return {"color": palette.ink if passed else palette.quiet, "width": 5 if passed else 1.5, "dash": "solid"}


def _name(name: str) -> str:
    """A zone's name on at most two lines."""
    lines = wrap(name, LETTERS, max_lines=2, placeholder="…") or [""]
    return "<br>".join(in_chart(line) for line in lines)


def zone_map(
    plant: Plant,
    results: Mapping[str, ZoneResult],
    palette: Palette,
    *,
    chosen: str,
    whole: bool = True,
    reach: Foothold | None = None,
) -> go.Figure:
    """The diagram; a click on a box gives the id of its zone. A zone without a result belongs to another team.

    Without ``whole`` only the chosen zone and those one conduit away are drawn. With the ``reach`` of a foothold it shows that
    instead of the results, and a click on what lies outside counts too.
    """
    placed = positions(plant) if whole else around(plant, chosen)
    rows = [spot[1] for spot in placed.values()] or [0.0]
    wide = max((abs(spot[0]) for spot in placed.values()), default=0.0) + 0.55
    layout = frame(palette, height=int((max(rows) - min(rows) + 1) * 120) + 24, margin=(4, 4, 4, 4))
    layout["xaxis"] |= {"visible": False, "range": [-wide, wide]}
    layout["yaxis"] |= {"visible": False, "range": [min(rows) - 0.5, max(rows) + 0.5]}
    joined = {
        key: (placed[conduit.between[0]], placed[conduit.between[1]])
        for key, conduit in plant.conduits.items()
        if placed.keys() >= set(conduit.between) and (whole or chosen in conduit.between)
    }
    summaries = {key: _reach_summary(reach, key) if reach else _summary(results.get(key)) for key in plant.zones}
    drawn = [
        *(_conduit(plant, key, ends, _line(plant, key, palette, reach), palette) for key, ends in joined.items()),
        *(_box(plant, key, spot, summaries.get(key, ""), palette, chosen) for key, spot in placed.items()),
        *(
            _tab(placed[zone.zone], zone.distance, palette)
            for zone in (reach.others if reach else ())
            if zone.zone in placed
        ),
    ]
    layout["shapes"] = [shape for shapes, _ in drawn for shape in shapes]
    layout["annotations"] = [label for _, label in drawn]
    inside = [key for key in placed if reach is not None or key in results]
    targets = {
        "type": "scatter",
        "mode": "markers",
        "opacity": 0.0,
        "x": [placed[key][0] for key in inside],
        "y": [placed[key][1] for key in inside],
        "marker": {"size": 46, "symbol": "square"},
        "customdata": inside,
        "hovertemplate": "%{customdata}<extra></extra>",
    }
    return figure([targets], layout)
