"""Reach of a compromise screen: zones and functions that fall from one foothold, what cuts it off, what is not independent."""

from __future__ import annotations

import streamlit as st

from checks.analysis.beside_result import Figures
from checks.reach.conduit_graph import DIRECTION
from checks.reach.footholds import Foothold, footholds
from checks.reach.independence import DEMANDS, PAIRS
from checks.record_files import exports
from checks.revision.basis import Scope
from checks.spreadsheets.cells import csv_bytes
from checks.state.live import Live, State
from pages.cached import figures, reached
from pages.cached.figures import MOST_BESIDE
from pages.charts.zone_map import MOST_DRAWN, zone_map
from pages.presentation import reach_rows, second_words, uncertainty_words
from pages.presentation.reach_rows import Row
from pages.presentation.wording import counted, escaped, paragraphs, small_print
from pages.results import map_click
from pages.ui import frame, places, state, system_filter, tables

CLOSINGS = "Single closings, the most effective first"
CUTS = "Fewest conduits to close"
ZONES = "Zones reached"
FUNCTIONS = "Functions that fall"
TOGETHER = "Functions that one zone defeats together"
DEMANDED = "Functions that the zone of their demand defeats"


def _draw(live: Live, current: State) -> None:
    plant = current.plant
    if not plant.zones:
        frame.nothing_to_choose(current, "zone")
        return
    names = {key: reach_rows.place(plant, key) for key in footholds(plant)}
    left, right = st.columns([2, 1])
    with left:
        key = places.choose("Where the compromise begins", "foothold", names)
    scope = system_filter.chosen(current, right)
    reach = reached.from_foothold(live, current, key)
    st.markdown(f"## {escaped(reach_rows.headline(plant, reach))}")
    if scope is not None:
        fallen = sum(each.function in scope.functions for each in reach.functions)
        st.markdown(f"Of {escaped(scope.system)}: {fallen} of {counted(len(scope.functions), 'function')}.")
    st.markdown(paragraphs(escaped(reach_rows.NO_PROBABILITY), small_print(escaped(DIRECTION))))
    frame.method_note(current)
    beside = _figures(live, current, reach, scope)
    shown = _listed(current, reach, scope, beside)
    left, right = st.columns([6, 5], gap="large")
    with left:
        _map(current, reach)
    with right:
        _closings(shown)
    _zones(shown)
    _functions(current, reach, scope, shown, beside)
    _not_independent(current, shown)
    _download(live, current, reach, scope)


def _figures(live: Live, current: State, reach: Foothold, scope: Scope | None) -> Figures | None:
    """What stands beside the results of the functions that fall; None where these are too many."""
    names = _fallen(reach, scope)
    return figures.of_functions(live, current, names) if len(names) <= MOST_BESIDE else None


def _fallen(reach: Foothold, scope: Scope | None) -> list[str]:
    return [each.function for each in reach.functions if scope is None or each.function in scope.functions]


def _listed(current: State, reach: Foothold, scope: Scope | None, beside: Figures | None) -> dict[str, list[Row]]:
    """The tables of this screen by their title, of the whole plant or of one system."""
    plant, functions = current.plant, None if scope is None else scope.functions
    return {
        CLOSINGS: reach_rows.closing_rows(reach),
        CUTS: reach_rows.separation_rows(plant, reach),
        ZONES: reach_rows.zone_rows(plant, reach, None if scope is None else scope.zones),
        FUNCTIONS: reach_rows.function_rows(current.assessment, reach, functions, beside=beside),
        TOGETHER: reach_rows.together_rows(plant, functions),
        DEMANDED: reach_rows.demand_rows(plant, functions),
    }


def _download(live: Live, current: State, reach: Foothold, scope: Scope | None) -> None:
    """Draw the download of what is shown, as CSV: lines about it, then one table below the other. It waits for all bands."""

    def content() -> bytes:
        about, names = current.plant.plant, _fallen(reach, scope)
        above = [about.name, about.note, reach_rows.headline(current.plant, reach), reach_rows.NO_PROBABILITY]
        above += [f"Of system {scope.system}"] if scope else []
        lines = [[text] for text in above if text]
        beside = figures.waited_for(live, current, names) if len(names) <= MOST_BESIDE else None
        for title, rows in _listed(current, reach, scope, beside).items():
            if rows:
                lines += [[], [title], list(rows[0]), *(list(row.values()) for row in rows)]
        return csv_bytes(lines)

    person = state.person()
    frame.download(
        "Download what is shown (CSV)",
        content,
        lambda: exports.handed_out(live, person, "reach of a compromise, CSV", needs="see gap detail"),
        file_name="reach.csv",
        mime="text/csv",
    )


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


def _closings(shown: dict[str, list[Row]]) -> None:
    st.markdown("### What closing one conduit leaves")
    if shown[CLOSINGS]:
        tables.table(shown[CLOSINGS], key="closings", alt=CLOSINGS)
        st.caption("Closing any other conduit alone saves no function.")
    else:
        st.markdown("Closing a single conduit saves no function.")
    if shown[CUTS]:
        st.markdown("Safety-related zones that no single closing keeps out of reach, and the fewest conduits that do:")
        tables.table(shown[CUTS], key="separations", alt=CUTS)


def _zones(shown: dict[str, list[Row]]) -> None:
    st.markdown("### Zones reached")
    _table(shown[ZONES], "zones_reached", ZONES, "No zone is reached.")


def _functions(
    current: State, reach: Foothold, scope: Scope | None, shown: dict[str, list[Row]], beside: Figures | None
) -> None:
    st.markdown("### Functions that fall")
    _table(shown[FUNCTIONS], "functions_fallen", FUNCTIONS, "No function falls.")
    left = reach_rows.not_reached(current.plant, reach, None if scope is None else scope.functions)
    st.caption(escaped(" ".join(filter(None, (left, reach_rows.BREAK_EVEN)))))
    if shown[FUNCTIONS]:
        with st.container(key="beside_reach"):
            st.caption(escaped(_said_beside(beside)))


def _said_beside(beside: Figures | None) -> str:
    """What band and second method of the break-evens rest on, and by which methods they are."""
    if beside is None:
        return f"Band and second method are shown for up to {MOST_BESIDE} functions: choose a system."
    sampled = "".join(f" {uncertainty_words.computed(band)}" for band in list(beside.bands.values())[:1])
    return f"{reach_rows.BESIDE}{sampled} {second_words.named([beside.besides])}"


def _not_independent(current: State, shown: dict[str, list[Row]]) -> None:
    st.markdown("### Not independent, wherever the compromise begins")
    _table(shown[TOGETHER], "together", TOGETHER, "No zone alone defeats two functions.")
    st.caption(PAIRS)
    if shown[DEMANDED]:
        tables.table(shown[DEMANDED], key="demands", alt=DEMANDED)
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
