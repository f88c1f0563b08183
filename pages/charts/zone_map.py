"""Zone and conduit diagram: one box per zone, one line per conduit, safety zones with a double border."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import wrap

import plotly.graph_objects as go

from checks.assessment.results import ZoneResult
from checks.plantfile.plant import OUTSIDE, Plant
from pages.charts.plotly_figures import Data, figure, frame
from pages.presentation.palette import Palette
from pages.presentation.wording import in_chart

Position = tuple[float, float]
HALF = (0.45, 0.37)
"""Half the width and height of a box: five short lines fit into it, on a narrow screen too."""
LABEL = {"showarrow": False, "font": {"size": 11}}
PER_ROW, MOST_NEIGHBOURS = 4, 16
"""Neighbours in a row and in all, where only the neighbourhood of a zone is drawn."""
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


def _boxes(spot: Position, palette: Palette, *, double: bool, chosen: bool) -> Iterator[Data]:
    """Borders of a zone, the outer one first so that the inner one is on top."""
    line = {"color": palette.kept if chosen else palette.ink, "width": 3 if chosen else 1.5}
    for more in (0.045, 0.0) if double else (0.0,):
        wide, tall = HALF[0] + more * 0.7, HALF[1] + more
        ends = {"x0": spot[0] - wide, "x1": spot[0] + wide, "y0": spot[1] - tall, "y1": spot[1] + tall}
        yield {"type": "rect", "layer": "below", **ends, "line": line, "fillcolor": palette.paper}


def _conduit(key: str, ends: tuple[Position, Position], palette: Palette, *, outward: bool) -> tuple[Data, Data]:
    """Line and label of a conduit; the label is closer to the outer zone, where fewer lines meet."""
    (x0, y0), (x1, y1) = ends
    share = 0.5 if y0 == y1 else 0.44 if y0 < y1 else 0.56
    look = {"color": palette.quiet, "width": 2, "dash": "dot" if outward else "solid"}
    line = {"type": "line", "layer": "below", "x0": x0, "y0": y0, "x1": x1, "y1": y1, "line": look}
    spot = {"x": x0 + (x1 - x0) * share, "y": y0 + (y1 - y0) * share}
    return line, {**spot, **LABEL, "bgcolor": palette.paper, "text": in_chart(key)}


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


def _name(name: str) -> str:
    """A zone's name on at most two lines."""
    lines = wrap(name, LETTERS, max_lines=2, placeholder="…") or [""]
    return "<br>".join(in_chart(line) for line in lines)


def zone_map(
    plant: Plant, results: Mapping[str, ZoneResult], palette: Palette, *, chosen: str, whole: bool = True
) -> go.Figure:
    """The diagram; a click on a box gives the id of its zone. A zone without a result belongs to another team.

    Without ``whole`` only the chosen zone and those one conduit away are drawn.
    """
    placed = positions(plant) if whole else around(plant, chosen)
    rows = [spot[1] for spot in placed.values()] or [0.0]
    wide = max((abs(spot[0]) for spot in placed.values()), default=0.0) + 0.55
    layout = frame(palette, height=int((max(rows) - min(rows) + 1) * 120) + 24, margin=(4, 4, 4, 4))
    layout["xaxis"] |= {"visible": False, "range": [-wide, wide]}
    layout["yaxis"] |= {"visible": False, "range": [min(rows) - 0.5, max(rows) + 0.5]}
    shapes, labels = [], []
    for key, conduit in plant.conduits.items():
        first, other = conduit.between
        if first not in placed or other not in placed or not (whole or chosen in conduit.between):
            continue
        line, label = _conduit(key, (placed[first], placed[other]), palette, outward=OUTSIDE in conduit.between)
        shapes.append(line)
        labels.append(label)
    for key, spot in placed.items():
        zone = plant.zones.get(key)
        shapes += _boxes(spot, palette, double=bool(zone and zone.safety_related), chosen=key == chosen)
        description = "outside the plant" if zone is None else f"{_name(zone.name)}<br>{_summary(results.get(key))}"
        labels.append({"x": spot[0], "y": spot[1], **LABEL, "text": f"<b>{in_chart(key)}</b><br>{description}"})
    layout |= {"shapes": shapes, "annotations": labels}
    inside = [key for key in placed if key in results]
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
