"""The guided way to a new safety function: sensors, solver, final elements, tests, zones and target, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from checks.plant_tables.new_function import NewFunction, NewGroup, rows_of
from checks.plant_tables.rows import Row
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from pages.plant import drafts
from pages.plant.drafts import PlantDraft
from pages.ui import places, state
from pages.ui.forms import Form, Told
from scoring.common_cause import Part

PARTS: tuple[tuple[Part, str, str], ...] = (
    ("sensor", "Sensors", "2oo3"),
    ("logic", "Logic solver", "1oo1"),
    ("final", "Final elements", "1oo2"),
)
"""The parts of a function, in the order of the form: part, title, voting to begin with."""
NEW, STATED, KNOWN = "New group", "Bought, with a stated result", "Group of this plant"
VOTINGS = ("1oo1", "1oo2", "2oo2", "1oo3", "2oo3", "3oo3", "2oo4", "1oo2D")
YEAR = "1 y"


def draw(live: Live, current: State, kept: PlantDraft) -> None:
    """Draw the form; its button adds the rows to the draft, which is checked and saved like everything else."""
    st.markdown("### New function")
    st.caption(
        "Choose what the function is made of. The button adds it to the draft below: look at it there, correct what is marked, save."
    )
    form = Form("new_function", outside=True)
    _function(current, kept, form)
    columns = st.columns(len(PARTS), border=True)
    for column, (part, title, voting) in zip(columns, PARTS, strict=True):
        with column:
            st.markdown(f"**{title}**")
            _part(current, kept, form, part, voting)
    form.button(
        "Add it to the draft",
        lambda fields: _add(live, current, fields),
        "The function is in the draft. Check it below and save.",
        type="primary",
    )


def _function(current: State, kept: PlantDraft, form: Form) -> None:
    first, second, third, fourth = st.columns([2, 4, 2, 2])
    first.text_input("Function id", key=form.key("id"), max_chars=64, placeholder="SIF-1")
    second.text_input("What it does", key=form.key("name"), max_chars=200, placeholder="High pressure closes the feed")
    third.selectbox("Demand", ["low", "high"], key=form.key("demand"), help="high: high demand or continuous mode")
    fourth.text_input(
        "Target",
        key=form.key("target"),
        max_chars=40,
        placeholder="SIL 2, 500 or 1e-6",
        help="A SIL, an RRF in low demand, or a PFH per hour in high demand",
    )
    systems = [row["id"] for row in kept.rows(current, "Systems") if "id" in row]
    st.selectbox(
        "Safety system",
        systems,
        index=places.index(systems, state.at("system") or "") if systems else None,
        key=form.key("system"),
        accept_new_options=True,
        placeholder="Type the id of a new system, such as S1",
    )


def _part(current: State, kept: PlantDraft, form: Form, part: Part, voting: str) -> None:
    known = [row["id"] for row in kept.rows(current, "Groups") if row.get("part") == part and "id" in row]
    kinds = [NEW, STATED, *([KNOWN] if known else [])]
    kind = st.selectbox("Made of", kinds, key=form.key(f"{part} kind"))
    if kind == KNOWN:
        st.selectbox("Group", known, key=form.key(f"{part} known"))
        return
    st.text_input("Group id", key=form.key(f"{part} id"), max_chars=64, placeholder=f"{part}-1")
    _zone(current, kept, form, part)
    if kind == STATED:
        st.text_input("PFDavg or PFH as stated", key=form.key(f"{part} stated"), max_chars=40, placeholder="1.2e-4")
        st.text_input("Source", key=form.key(f"{part} source"), max_chars=200, placeholder="certificate, edition")
        return
    st.selectbox("Voting", VOTINGS, index=VOTINGS.index(voting), key=form.key(f"{part} voting"))
    _devices(current, kept, form, part)
    left, right = st.columns(2)
    left.text_input("Test every", YEAR, key=form.key(f"{part} interval"), max_chars=20, help="Hours, or 1 y, 6 months")
    right.text_input(
        "Test finds", "90 %", key=form.key(f"{part} coverage"), max_chars=20, help="Share of undetected failures"
    )
    left.text_input(
        "Overhaul every", "10 y", key=form.key(f"{part} overhaul"), max_chars=20, help="Finds the rest; empty at 100 %"
    )
    right.text_input("Repair takes", "24 h", key=form.key(f"{part} repair"), max_chars=20, help="MTTR and MRT")


def _zone(current: State, kept: PlantDraft, form: Form, part: Part) -> None:
    zones = [row["id"] for row in kept.rows(current, "Zones") if "id" in row]
    left, right = st.columns([3, 2], vertical_alignment="bottom")
    left.selectbox(
        "Security zone",
        zones,
        index=None,
        key=form.key(f"{part} zone"),
        accept_new_options=True,
        placeholder="none, or a new id",
    )
    right.checkbox("Programmable", value=part != "final", key=form.key(f"{part} programmable"))


def _devices(current: State, kept: PlantDraft, form: Form, part: Part) -> None:
    known = {row["id"] for row in kept.rows(current, "Devices") if "id" in row}
    chosen: Sequence[str] = st.multiselect(
        "Devices in series",
        sorted(known),
        key=form.key(f"{part} devices"),
        accept_new_options=True,
        placeholder="from the plant's list, or a new id",
    )
    for name in [name for name in chosen if name not in known][:4]:
        left, right = st.columns(2)
        left.text_input(f"{name}: lambda DU [FIT]", key=form.key(f"{part} du {name}"), max_chars=20)
        right.text_input(f"{name}: lambda DD [FIT]", key=form.key(f"{part} dd {name}"), max_chars=20)
        st.text_input(f"{name}: source of the rates", key=form.key(f"{part} source {name}"), max_chars=200)


def _add(live: Live, current: State, fields: Told) -> None:
    """Add the rows of the function to the draft; raises Refused where the form lacks what names them."""
    missing = [Fault("Function id", "missing", "a short id, such as SIF-1")] if not fields.get("id") else []
    for part, title, _ in PARTS:
        kind = fields[f"{part} kind"]
        if not fields.get(f"{part} known" if kind == KNOWN else f"{part} id"):
            missing.append(Fault(f"{title}: group", "missing", "an id, or a group of this plant"))
    if missing:
        raise Refused("new function", missing)
    kept = drafts.of(live, current)
    groups = [_new_group(fields, part) for part, _, _ in PARTS]
    added = rows_of(NewFunction(_own(fields), groups, _new_devices(current, kept, fields)))
    added |= {"Zones": _new_zones(current, kept, groups)}
    known = {row.get("id") for row in kept.rows(current, "Systems")}
    if fields.get("system") and fields["system"] not in known:
        added["Systems"] = [{"id": fields["system"]}]
    drafts.keep(kept.plus(current, added))


def _own(fields: Told) -> Row:
    target = str(fields.get("target") or "").strip()
    key = "target_rrf" if fields["demand"] == "low" else "target_pfh"
    key = "target_sil" if target.upper().startswith("SIL") or target in ("1", "2", "3", "4") else key
    cells = {
        "id": fields["id"],
        "name": fields.get("name"),
        "system": fields.get("system"),
        "demand": fields["demand"],
        key: target,
    }
    return {name: text for name, text in cells.items() if text}


def _new_group(fields: Told, part: Part) -> NewGroup:
    def text(name: str) -> str:
        return str(fields.get(f"{part} {name}") or "").strip()

    kind = fields[f"{part} kind"]
    if kind == KNOWN:
        return NewGroup(text("known"), known=True, part=part)
    zone, programmable = text("zone"), bool(fields.get(f"{part} programmable"))
    if kind == STATED:
        measure = "stated_result.pfd" if fields["demand"] == "low" else "stated_result.pfh"
        stated = {measure: text("stated"), "stated_result.source": text("source")}
        return NewGroup(text("id"), known=False, part=part, zone=zone, programmable=programmable, cells=stated)
    tests = {
        "proof_test.interval_h": text("interval"),
        "proof_test.coverage": text("coverage"),
        "proof_test.full_interval_h": text("overhaul"),
        "mttr_h": text("repair"),
        "mrt_h": text("repair"),
    }
    devices = list(fields.get(f"{part} devices") or ())
    return NewGroup(
        text("id"),
        known=False,
        part=part,
        voting=text("voting"),
        devices=devices,
        zone=zone,
        programmable=programmable,
        cells=tests,
    )


def _new_devices(current: State, kept: PlantDraft, fields: Told) -> list[Row]:
    known: set[Any] = {row.get("id") for row in kept.rows(current, "Devices")}
    rows: list[Row] = []
    for part, _, _ in PARTS:
        for name in fields.get(f"{part} devices") or ():
            if name not in known:
                known.add(name)
                cells = {"lambda_du_fit": f"du {name}", "lambda_dd_fit": f"dd {name}", "source": f"source {name}"}
                texts = {key: str(fields.get(f"{part} {field}") or "") for key, field in cells.items()}
                rows.append({"id": name, **{key: text for key, text in texts.items() if text}})
    return rows


def _new_zones(current: State, kept: PlantDraft, groups: Sequence[NewGroup]) -> list[Row]:
    known = {row.get("id") for row in kept.rows(current, "Zones")}
    new = dict.fromkeys(group.zone for group in groups if group.zone and group.zone not in known)
    return [{"id": zone} for zone in new]
