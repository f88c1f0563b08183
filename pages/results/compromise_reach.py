"""Reach of a compromise screen: zones and functions that fall from one foothold, what cuts it off, what is not independent."""

from __future__ import annotations

import streamlit as st

from checks.reach.conduit_graph import DIRECTION
from checks.reach.footholds import Foothold, footholds
from checks.reach.independence import DEMANDS, PAIRS
from checks.state.live import Live, State
from pages.charts.zone_map import MOST_DRAWN, zone_map
from pages.presentation import reach_rows
from pages.presentation.reach_rows import Row
from pages.presentation.wording import escaped, paragraphs, small_print
from pages.results import map_click
from pages.ui import caches, frame, places, tables


def _draw(live: Live, current: State) -> None:
    plant = current.plant
    if not plant.zones:
        frame.nothing_to_choose(current, "zone")
        return
    names = {key: reach_rows.place(plant, key) for key in footholds(plant)}
    key = places.choose("Where the compromise begins", "foothold", names)
    reach = caches.from_foothold(live, current, key)
    st.markdown(f"## {escaped(reach_rows.headline(plant, reach))}")
    st.markdown(paragraphs(escaped(reach_rows.NO_PROBABILITY), small_print(escaped(DIRECTION))))
    frame.method_note(current)
    left, right = st.columns([6, 5], gap="large")
    with left:
        _map(current, reach)
    with right:
        _closings(current, reach)
    _zones(current, reach)
    _functions(current, reach)
    _not_independent(current)


def _map(current: State, reach: Foothold) -> None:
    whole = len(current.plant.zones) <= MOST_DRAWN
    figure = zone_map(current.plant, {}, frame.palette(), chosen=reach.id, whole=whole, reach=reach)
    alt = "Zones reached: " + ("; ".join(f"{zone.zone} {zone.distance}" for zone in reach.others) or "none")
    map_click.drawn(figure, key="reach_map", alt=alt, name="foothold", chosen=reach.id)
    neighbours = "" if whole else " Only the neighbours of the foothold are drawn; the table lists all zones."
    st.caption(
        "Number in the corner: conduits from the foothold. Heavy line: on a shortest way. Dotted line: closed. "
        f"Thick border: the foothold. Double border: safety related. Click a box to begin there.{neighbours}"
    )


def _closings(current: State, reach: Foothold) -> None:
    st.markdown("### What closing one conduit leaves")
    rows = reach_rows.closing_rows(reach)
    if rows:
        tables.table(rows, key="closings", alt="Single closings, the most effective first")
        st.caption("Closing any other conduit alone saves no function.")
    else:
        st.markdown("Closing a single conduit saves no function.")
    cuts = reach_rows.separation_rows(current.plant, reach)
    if cuts:
        st.markdown("Safety-related zones that no single closing keeps out of reach, and the fewest conduits that do:")
        tables.table(cuts, key="separations", alt="Fewest conduits to close")


def _zones(current: State, reach: Foothold) -> None:
    st.markdown("### Zones reached")
    _table(reach_rows.zone_rows(current.plant, reach), "zones_reached", "Zones reached", "No zone is reached.")


def _functions(current: State, reach: Foothold) -> None:
    st.markdown("### Functions that fall")
    rows = reach_rows.function_rows(current.assessment, reach)
    _table(rows, "functions_fallen", "Functions that fall", "No function falls.")
    st.caption(escaped(" ".join(filter(None, (reach_rows.not_reached(current.plant, reach), reach_rows.BREAK_EVEN)))))


def _not_independent(current: State) -> None:
    st.markdown("### Not independent, wherever the compromise begins")
    rows = reach_rows.together_rows(current.plant)
    _table(rows, "together", "Functions that one zone defeats together", "No zone alone defeats two functions.")
    st.caption(PAIRS)
    demands = reach_rows.demand_rows(current.plant)
    if demands:
        tables.table(demands, key="demands", alt="Functions that the zone of their demand defeats")
        st.caption(DEMANDS)
    elif any(function.demand_zone for function in current.plant.functions.values()):
        st.caption("No function falls to the zone of its demand alone.")
    else:
        st.caption(
            "No function names the zone of its demand (demand_zone), so control layers are not compared with it."
        )


def _table(rows: list[Row], key: str, alt: str, none: str) -> None:
    if rows:
        tables.table(rows, key=key, alt=alt)
    else:
        st.markdown(none)


page = frame.screen(_draw, needs="see gap detail", place="foothold")
