"""Charts are put together without plotly's own checks; here plotly checks each of them."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go
import pytest

from checks import curves, plant_file
from checks.assess import Assessment
from demo.load import PLANT
from pages.shared import charts
from pages.shared.palette import DARK, LIGHT, Palette
from pages.shared.rails import Rail, rail, rails, steps
from pages.shared.zone_map import zone_map

DEMO = Assessment(plant_file.read(PLANT))
FUNCTIONS = DEMO.functions()


def drawn() -> list[Rail]:
    before = {one.id: one for one in Assessment(DEMO.plant, DEMO.answers.without("TST1", "group:pt-301")).functions()}
    return [rail(one, DEMO.plant.functions[one.id].name, before=before[one.id]) for one in FUNCTIONS]


def every_figure(palette: Palette) -> list[go.Figure]:
    found = [
        rails(drawn(), palette, axis="x"),
        *(steps(one, palette, axis="x", values=[("a", "1")]) for one in drawn()),
    ]
    for one in FUNCTIONS:
        found.append(charts.shares(one, {group.id: group.id for group in one.groups}, palette))
        for group in one.groups:
            if group.betas is not None:
                lines = curves.against_beta(DEMO, one.id, group.id, beta_int=np.logspace(-3, 0, 5))
                found.append(charts.curves(lines, palette, demand=one.demand, target=1.0 / one.limit))
    zones = {key: DEMO.zone(key) for key in DEMO.plant.zones}
    return [*found, zone_map(DEMO.plant, zones, palette, chosen="Z5")]


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_plotly_finds_nothing_to_refuse_in_any_figure(palette: Palette) -> None:
    figures = every_figure(palette)
    assert len(figures) > 30
    for one in figures:
        raw = one.to_plotly_json()
        checked = go.Figure(data=raw["data"], layout=raw["layout"])
        assert len(checked.data) == len(raw["data"]) > 0


def test_the_three_pieces_of_a_rail_add_up_to_what_was_bought() -> None:
    figure = rails(drawn(), LIGHT, axis="x")
    pieces = {trace.name: trace for trace in figure.data if trace.type == "bar"}
    for row, one in enumerate(drawn()):
        end = one.single
        for name in ("left", "lost to the cyber scenario", "lost to common cause"):
            assert pieces[name].base[row] == pytest.approx(end, rel=1e-12)
            end = pieces[name].base[row] + pieces[name].x[row]
        assert end == pytest.approx(one.ideal, rel=1e-12)
