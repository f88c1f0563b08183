"""Plant: every function on one axis, worst margin first; import and download of the plant file."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import pandas as pd
import streamlit as st

from checks.access.roles import NotAllowed
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.journal.errors import StoreUnavailable
from checks.plantfile import plant_file
from checks.record_files import exports
from checks.recording import plant_import
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.text.number_format import NONE, measure, measure_name, percent, target
from pages.charts.plotly_figures import CONFIG, bar_chart
from pages.charts.rail_html import legend
from pages.charts.rails import AXES, rails
from pages.presentation.wording import between, plain, titled
from pages.ui import caches, frame, messages, state

MOST_RAILS = 25
MOST_REMARKS = 12


def _draw(live: Live, now: State) -> None:
    functions = now.assessment.functions()
    st.markdown("## What is left of the redundancy")
    st.markdown(_sentence(functions))
    frame.rule(now)
    st.html(legend(frame.palette()))
    for demand in AXES:
        _rails(now, [one for one in functions if one.demand == demand], demand)
    _open(now, functions)
    _table(now, functions)
    _files(live, now)


def _sentence(functions: list[FunctionResult]) -> str:
    if not functions:
        return "No safety function is described yet: import a plant file below."
    said = " ".join(plain(sentence) for sentence in verdicts.summary(functions))
    return (
        f"{said} The worst safety function (SIF) stands on top. Click a rail, or choose a function below it, to see what "
        "redundancy gains and which group limits it."
    )


def _rails(now: State, functions: list[FunctionResult], demand: str) -> None:
    if not functions:
        return
    shown = functions[:MOST_RAILS]
    if len(shown) < len(functions):
        st.caption(f"The {MOST_RAILS} worst of {len(functions)}; the table holds all.")
    drawn = rails(shown, {one.id: now.plant.functions[one.id].name for one in shown})
    figure, key = bar_chart(drawn, frame.palette()), f"rails_{demand}"
    picked: Any = st.plotly_chart(
        figure, key=key, on_select="rerun", selection_mode="points", theme=None, config=CONFIG, alt=drawn.said
    )
    points = picked["selection"]["points"]
    if points and (key := points[0].get("customdata")):
        frame.go("redundancy", function=str(key if isinstance(key, str) else key[0]))


def _open(now: State, functions: list[FunctionResult]) -> None:
    names = {one.id: titled(one.id, now.plant.functions[one.id].name) for one in functions}
    if not names:
        return
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    with left:
        key = st.selectbox("Function", list(names), format_func=names.__getitem__, key="open_function")
    with right:
        if st.button("Open", key="open", width="stretch"):
            frame.go("redundancy", function=key)


def _table(now: State, functions: list[FunctionResult]) -> None:
    st.markdown("### The same as a table")
    owner = now.assessment.links.system_of_function
    rows = [_row(now, one, owner.get(one.id, NONE)) for one in functions]
    st.dataframe(
        pd.DataFrame(rows), hide_index=True, key="functions_table", alt="Functions with target, results and open work"
    )


def _row(now: State, one: FunctionResult, system: str) -> dict[str, Any]:
    cases = one.cases
    zones = dict.fromkeys(zone for group in one.groups if (zone := now.plant.groups[group.id].zone))
    return {
        "Function": one.id,
        "System": system,
        "Measure": measure_name(one.demand),
        "Target": target(one.demand, one.target),
        "With common cause": measure(one.demand, cases.scored),
        "Verdict": verdicts.in_short(one, "scored"),
        "Cyber scenario": measure(one.demand, cases.adjusted),
        "Verdict, cyber scenario": verdicts.in_short(one, "adjusted"),
        "Share kept": percent(verdicts.share_kept(cases)),
        "Weakest group": one.weakest.id,
        "Open questions": sum(group.unanswered for group in one.groups),
        "Gaps": _gaps(now, zones),
        "Range while open": between(one),
        "One channel": measure(one.demand, cases.single),
        "No common cause": measure(one.demand, cases.ideal),
        "Name": now.plant.functions[one.id].name,
    }


def _gaps(now: State, zones: Collection[str]) -> int | str:
    """Gaps in the zones of a function; as text where some are not told to the reader, a member of another team."""
    count = sum(len(now.assessment.zone(zone).gaps) for zone in zones)
    if state.person().may_everywhere("see gap counts"):
        return count
    return str(count) if all(now.shows(f"zone:{zone}") for zone in zones) else NONE


def _files(live: Live, now: State) -> None:
    st.markdown("### Plant file")
    known = {str(key): name for key, name in caches.plants().items()}
    if len(known) > 1:
        frame.choose("Plant shown", "plant", known, clear=("function", "group", "zone", "q"))
    left, right = st.columns(2)
    with left:
        person = state.person()
        if not person.may("see evidence"):
            which = "without its answers"
        else:
            which = "with its answers" if now.within is None else "with the answers of your team"
            which += " but those to give anew" if any(asked not in now.stored for asked in now.records.anew) else ""
        frame.download(
            f"Download this plant {which}",
            lambda: plant_file.to_text(now.file()),
            lambda: exports.handed_out(live, person, f"plant file {which}", needs="see betas and results"),
            file_name=f"plant-{live.key}.yaml",
            mime="application/yaml",
        )
        said = caches.remarks_on(live, now)
        for one in said[:MOST_REMARKS]:
            st.caption(plain(one))
        if len(said) > MOST_REMARKS:
            st.caption(f"And {len(said) - MOST_REMARKS} more remarks; the command line lists them all.")
    with right:
        handed = st.file_uploader("Import a plant file (YAML, format 1 or 2)", type=["yaml", "yml"], key="plant_upload")
        if handed is not None and st.button("Import", key="import", type="primary"):
            _import(handed.name, handed.getvalue())


def _import(name: str, raw: bytes) -> None:
    try:
        with st.status("Reading and checking the file …") as status:
            plant = plant_file.from_bytes(name, raw)
            status.update(label="Storing …")
            key = plant_import.import_plant(caches.store(), state.person(), plant)
    except Refused as refused:
        st.error(f"Nothing was imported: {len(refused.faults)} faults in the file. What is stored stays as it was.")
        st.code("\n".join(refused.lines()), language=None, wrap_lines=True)
        return
    except (NotAllowed, StoreUnavailable) as error:
        st.error(plain(str(error)))
        return
    messages.say("success", f"{plant.plant.name} is stored: {len(plant.groups)} groups, {len(plant.answers)} answers.")
    state.move(plant=str(key))
    st.rerun()


page = frame.screen(_draw)
