"""Zones and gaps screen: zone and conduit diagram, levels against target, and the gap list."""

from __future__ import annotations

import streamlit as st

from checks.assessment.cautions import CAUTIONS, method
from checks.assessment.results import ZoneResult
from checks.record_files import exports
from checks.spreadsheets.cells import as_csv
from checks.state.live import Live, State
from pages.charts.zone_map import MOST_DRAWN, MOST_NEIGHBOURS, neighbours, zone_map
from pages.presentation.gap_list import gap_rows
from pages.presentation.level_rows import level_rows
from pages.presentation.wording import counted, escaped, flow, titled
from pages.results import map_click
from pages.ui import frame, places, state, system_filter, tables
from scoring.exposure import SCENARIO
from scoring.levels import FOUNDATIONAL


def _draw(live: Live, current: State) -> None:
    if not current.zones:
        frame.nothing_to_choose(current, "zone")
        return
    left, right = st.columns([3, 1], vertical_alignment="bottom")
    left.markdown("## What the compromise of one zone reaches")
    names = {key: titled(key, zone.name) for key, zone in current.zones.items()}
    named = state.at("zone")
    scope = system_filter.chosen(
        current, right, lambda scope: bool(scope.zones) and (named not in names or named in scope.zones)
    )
    results = {key: current.assessment.zone(key) for key in names}
    if scope is not None:
        names = {key: name for key, name in names.items() if key in scope.zones}
    prefer = sorted(names, key=lambda key: (not current.plant.zones[key].safety_related, -len(results[key].gaps)))
    st.markdown(
        "Each box is a zone, each line a conduit. Choose a zone to see its levels, its gaps and the functions with programmable groups in it."
    )
    frame.method_note(current)
    left, right = st.columns([6, 5], gap="large")
    with right:
        key = places.choose_place(current, "Zone", "zone", names, prefer=prefer)
        _levels(results[key])
        frame.link("cyber", f"Answer for {key}", zone=key)
    with left:
        _map(current, results, key)
    _gaps(live, current, results[key])
    _all_zones(current, results)


def _map(current: State, results: dict[str, ZoneResult], chosen: str) -> None:
    whole = len(current.plant.zones) <= MOST_DRAWN
    figure = zone_map(current.plant, results, frame.palette(), chosen=chosen, whole=whole)
    drawn = [conduit for conduit in current.plant.conduits.items() if whole or chosen in conduit[1].between]
    ways = "; ".join(f"{key} joins {' and '.join(conduit.between)}" for key, conduit in drawn)
    alt = f"Zones and conduits: {ways}"
    map_click.drawn(figure, key="zone_map", alt=alt, name="zone", chosen=chosen)
    if not whole:
        st.caption(_not_drawn(current, chosen))


def _not_drawn(current: State, chosen: str) -> str:
    """Says how many zones the drawn neighbourhood of a zone leaves out."""
    near = [key for key in neighbours(current.plant, chosen) if key in current.plant.zones]
    far = len(current.plant.zones) - len(near) - 1
    more = max(0, len(near) - MOST_NEIGHBOURS)
    beyond = f" {counted(more, 'more zone')} one conduit away and" if more else ""
    return (
        f"{escaped(chosen)} and {counted(len(near) - more, 'zone')} that one conduit joins to it. Not drawn:{beyond} "
        f"{counted(far, 'zone')} farther away; the table below lists all."
    )


def _levels(zone: ZoneResult) -> None:
    tables.table(level_rows(zone), key="levels", alt=f"Levels of {zone.id} against target")
    if not zone.reviewed:
        st.caption(
            "Not reviewed: no topic of this zone has been answered. Its gaps are not known; assume the worse state."
        )
    st.caption(
        "Indicated level: the highest level at which every asked requirement is met. Target: target level (SL-T). Levels are per foundational requirement, never averaged."
    )


def _gaps(live: Live, current: State, zone: ZoneResult) -> None:
    st.markdown(f"### Gaps of {escaped(zone.id)}")
    st.markdown(_reach_text(zone))
    rows = gap_rows(current.assessment, zone.id)
    hidden = _hidden_note(len(zone.gaps) - len(rows))
    if hidden:
        st.caption(hidden)
    if not rows:
        st.caption("No other gaps in this zone." if hidden else "No gaps in this zone.")
        return
    left, middle, right = st.columns(3)
    fr = left.multiselect("Foundational requirement", FOUNDATIONAL, key="filter_fr")
    weights = middle.multiselect("Weight", ["3", "2", "1"], key="filter_weight")
    answers = right.multiselect("Answer", sorted({row["Answer"] for row in rows}), key="filter_answer")
    shown = [
        row
        for row in rows
        if (not fr or set(fr) & set(row["FR"].split(", ")))
        and (not weights or row["Weight"] in weights)
        and (not answers or row["Answer"] in answers)
    ]
    st.caption(
        f"{len(shown)} of {len(rows)} gaps. Now and Closed: result of the worst function that this zone affects; {SCENARIO}."
    )
    tables.table(shown, key="gaps", alt=f"Gaps of {zone.id}")
    person = state.person()
    lead = [
        f"{current.plant.plant.name}, zone {zone.id}",
        current.plant.plant.note,
        method(current.plant),
        *([hidden] if hidden else []),
        *CAUTIONS,
    ]
    frame.download(
        "Download these gaps (CSV)",
        lambda: as_csv(shown, lead),
        lambda: exports.handed_out(live, person, f"gaps of {zone.id}, CSV", needs="see gap detail"),
        file_name=f"gaps-{zone.id}.csv",
        mime="text/csv",
    )


def _reach_text(zone: ZoneResult) -> str:
    """Functions that the compromise of a zone defeats; groups that are not programmable are not reached."""
    if not zone.reach:
        return "No programmable group lies in this zone: its compromise defeats no function directly."
    named = ", ".join(escaped(name) for name in zone.reach[:20]) + (", …" if len(zone.reach) > 20 else "")
    return (
        f"Programmable groups of {counted(len(zone.reach), 'function')} lie in this zone; its compromise defeats every "
        f"channel there at once: {named}."
    )


def _hidden_note(count: int) -> str:
    """Note on gaps hidden by a blind round; empty if there are none."""
    if not count:
        return ""
    return f"Blind round: {counted(count, 'gap')} hidden until answered again; they still count."


def _all_zones(current: State, results: dict[str, ZoneResult]) -> None:
    st.markdown("### All zones")
    rows = []
    for key, zone in results.items():
        row = {"Zone": key, "Name": current.plant.zones[key].name, "Reviewed": "yes" if zone.reviewed else "no"}
        for fr in FOUNDATIONAL:
            target, level = zone.target.get(fr), zone.levels[fr]
            indicated = str(level.indicated) if level.asked and zone.reviewed else "?"
            row[fr] = f"{indicated} of {target}" if target is not None else indicated
        rows.append({**row, "Gaps": str(len(zone.gaps)), "Functions with programmable groups": str(len(zone.reach))})
    tables.table(rows, key="all_zones", alt="All zones with indicated and target levels")
    st.caption("Each cell: indicated level of target level (SL-T); ? if nothing was asked.")
    if current.plant.conduits:
        st.markdown("### All conduits")
        ways = [
            {"Conduit": key, "Between": " and ".join(conduit.between), "Flow": flow(conduit), "Note": conduit.note}
            for key, conduit in current.plant.conduits.items()
        ]
        tables.table(ways, key="conduits", alt="All conduits with what they join")


page = frame.screen(_draw, needs="see gap detail", place="zone")
