"""Zones and conduits drawn: one box a zone, one line a conduit, safety zones with a double border."""

from __future__ import annotations

from collections.abc import Mapping

import plotly.graph_objects as go

from checks.plant import OUTSIDE, Plant
from checks.results import ZoneResult
from pages.shared.charts import frame
from pages.shared.palette import Palette
from pages.shared.wording import in_chart

Spot = tuple[float, float]
HALF = (0.44, 0.27)


def spots(plant: Plant) -> dict[str, Spot]:
    """Place of each zone: the row is its distance in conduits from the safety zones, the column its turn in the row."""
    joined: dict[str, list[str]] = {key: [] for key in plant.zones}
    for conduit in plant.conduits.values():
        one, other = conduit.between
        joined.setdefault(one, []).append(other)
        joined.setdefault(other, []).append(one)
    edge = [key for key, zone in plant.zones.items() if zone.safety_related] or list(plant.zones)[:1]
    steps: dict[str, int] = dict.fromkeys(edge, 0)
    while edge:
        edge = [key for key in dict.fromkeys(near for one in edge for near in joined[one]) if key not in steps]
        steps.update(dict.fromkeys(edge, max(steps.values()) + 1))
    last = max(steps.values(), default=0) + 1
    rows: dict[int, list[str]] = {}
    for key in joined:
        rows.setdefault(steps.get(key, last), []).append(key)
    return {
        key: (1.18 * (at - (len(keys) - 1) / 2.0), -float(row))
        for row, keys in rows.items()
        for at, key in enumerate(keys)
    }


def _box(figure: go.Figure, spot: Spot, palette: Palette, *, double: bool, chosen: bool) -> None:
    grow = (0.045, 0.0) if double else (0.0,)
    for more in grow:
        figure.add_shape(
            type="rect",
            layer="below",
            x0=spot[0] - HALF[0] - more * 0.7,
            x1=spot[0] + HALF[0] + more * 0.7,
            y0=spot[1] - HALF[1] - more,
            y1=spot[1] + HALF[1] + more,
            line={"color": palette.kept if chosen else palette.ink, "width": 3 if chosen else 1.5},
            fillcolor=palette.paper,
        )


def _said(result: ZoneResult) -> str:
    if not result.reviewed:
        return "not reviewed"
    short = sum(1 for missing in result.short.values() if missing)
    return f"{len(result.gaps)} gaps, short in {short} of {len(result.target)}"


def zone_map(plant: Plant, results: Mapping[str, ZoneResult], palette: Palette, *, chosen: str) -> go.Figure:
    """The drawing; a click on a box names its zone."""
    placed = spots(plant)
    rows = [spot[1] for spot in placed.values()] or [0.0]
    width = max((abs(spot[0]) for spot in placed.values()), default=0.0) + 0.55
    figure = frame(palette, height=int((max(rows) - min(rows) + 1) * 112) + 24)
    for key, conduit in plant.conduits.items():
        (x0, y0), (x1, y1) = placed[conduit.between[0]], placed[conduit.between[1]]
        at = 0.34 if y0 < y1 else 0.66  # nearer to the zone further out, where fewer lines meet
        dash = "dot" if OUTSIDE in conduit.between else "solid"
        figure.add_shape(
            type="line",
            layer="below",
            x0=x0,
            y0=y0,
            x1=x1,
            y1=y1,
            line={"color": palette.quiet, "width": 2, "dash": dash},
        )
        figure.add_annotation(
            x=x0 + (x1 - x0) * (0.5 if y0 == y1 else at),
            y=y0 + (y1 - y0) * (0.5 if y0 == y1 else at),
            showarrow=False,
            bgcolor=palette.paper,
            font={"size": 12},
            text=in_chart(key),
            hovertext=in_chart(conduit.note),
        )
    for key, spot in placed.items():
        zone = plant.zones.get(key)
        _box(figure, spot, palette, double=bool(zone and zone.safety_related), chosen=key == chosen)
        said = "beyond the plant" if zone is None else f"{in_chart(zone.name)}<br>{_said(results[key])}"
        figure.add_annotation(
            x=spot[0], y=spot[1], text=f"<b>{in_chart(key)}</b><br>{said}", showarrow=False, font={"size": 12}
        )
    inside = [key for key in placed if key in plant.zones]
    figure.add_scatter(
        x=[placed[key][0] for key in inside],
        y=[placed[key][1] for key in inside],
        mode="markers",
        opacity=0.0,
        marker={"size": 46, "symbol": "square"},
        customdata=inside,
        hovertemplate="%{customdata}<extra></extra>",
    )
    figure.update_layout(showlegend=False, margin={"l": 4, "r": 4, "t": 4, "b": 4})
    figure.update_xaxes(visible=False, range=[-width, width])
    figure.update_yaxes(visible=False, range=[min(rows) - 0.5, max(rows) + 0.5])
    return figure
