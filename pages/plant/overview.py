"""Plant screen: all functions on one axis, worst margin first; import and download of the plant file."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import streamlit as st

from checks.analysis.beside_result import Beside
from checks.analysis.uncertainty import Uncertainty
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.events.plant import plant_data
from checks.plantfile import plant_file
from checks.record_files import exports
from checks.state.live import Live, State
from checks.text.number_format import NONE, measure, measure_name, percent, target
from pages.cached import first_screen, present_state, second_methods, uncertainties
from pages.charts.plotly_figures import CONFIG, bar_chart
from pages.charts.rail_html import legend
from pages.charts.rails import AXES, BAND, rails
from pages.plant import file_import, lessons
from pages.presentation import second_words
from pages.presentation.uncertainty_words import band_figures, computed
from pages.presentation.wording import counted, escaped, range_while_open, titled
from pages.ui import frame, state, system_filter, tables

MOST_SHOWN = first_screen.FIRST
"""Maximum functions shown, the worst first; a sentence counts the others."""
FUNCTIONS = "Functions with target, results and open work"
MOST_REMARKS = 12
Bands = Mapping[str, Uncertainty]
"""Uncertainty of functions, by id; a function without an uncertain input has none."""
Besides = Mapping[str, Beside]
"""What the second method says of functions, by id; a function has none while it is being computed."""


def _draw(live: Live, current: State) -> None:
    functions = current.assessment.functions()
    if not functions:
        _begun(live, current)
        return
    left, right = st.columns([3, 1], vertical_alignment="bottom")
    left.markdown("## What is left of the redundancy")
    scope = system_filter.chosen(current, right, shows=lambda scope: bool(scope.functions))
    if scope is not None:
        functions = [function for function in functions if function.id in scope.functions]
    st.markdown(_summary(functions))
    frame.method_note(current)
    lessons.draw(live, current, None if scope is None else scope.system)
    where = {} if scope is None else {"system": scope.system}
    worst, rest = functions[:MOST_SHOWN], functions[MOST_SHOWN:]
    bands = uncertainties.bands(live, current, [function.id for function in worst])
    besides = second_methods.beside(live, current, [function.id for function in worst])
    st.html(legend(frame.palette(), *([BAND] if bands else [])))
    for demand in AXES:
        _rails(current, [function for function in worst if function.demand == demand], bands, where)
    doubts = _doubts(worst, bands) if bands else ""
    if texts := [text for text in (doubts, second_words.summary(worst, besides)) if text]:
        st.caption(escaped(" ".join(texts)))
    if rest:
        st.markdown(_rest(rest))
    _open_function(current, functions, where)
    _table(current, worst, rest, (bands, besides))
    _plant_file(live, current)


def _begun(live: Live, current: State) -> None:
    """An empty plant: what comes next."""
    st.markdown(f"## {escaped(current.plant.plant.name)} has no safety function yet")
    st.markdown(
        "Next: set it up on screen, function by function; bring a spreadsheet; or bring a plant file that describes devices, groups, safety systems and "
        f"functions. Its name decides where it goes: a file that names the plant {escaped(current.plant.plant.name)} fills this one, "
        "another name makes a further plant. Then answer the common-cause questions of each group, and the cyber questions of each zone."
    )
    if state.person().may_everywhere(plant_data.Body.PERMISSION):
        frame.link("set-up", "Set it up on screen")
        frame.link("bring", "Bring a spreadsheet")
    _plant_file(live, current)


def _summary(functions: list[FunctionResult]) -> str:
    summary = " ".join(escaped(sentence) for sentence in verdicts.summary(functions))
    return (
        f"{summary} The worst safety function (SIF) is on top. Click a row, or choose a function below the chart, to see what "
        "redundancy gains and which group limits it."
    )


def _rest(rest: list[FunctionResult]) -> str:
    """Sentence on the functions that are not among the worst."""
    short = {case: sum(verdicts.falls_short(function, case) for function in rest) for case in ("scored", "adjusted")}
    return (
        f"{counted(len(rest), 'more function')} with a better margin: {short['scored']} fall short of the target with common "
        f"cause, {short['adjusted']} with the cyber scenario. Filter by system to see them, or open the table of all."
    )


def _doubts(functions: list[FunctionResult], bands: Bands) -> str:
    """Sentence on the verdicts that may turn within the uncertainty, and how the bands were computed."""
    turning = [
        function.id
        for function in functions
        if function.id in bands and verdicts.doubt(function, bands[function.id].misses or 0.0) >= verdicts.IN_DOUBT
    ]
    sentence = (
        f"The verdict of {len(turning)} of {len(functions)} functions with common cause may turn within the uncertainty of the inputs: "
        f"{', '.join(turning)}; the table gives the probability."
        if turning
        else "No verdict with common cause turns within the uncertainty of the inputs (5 % to 95 %)."
    )
    return f"{sentence} {computed(next(iter(bands.values())))}"


def _rails(current: State, functions: list[FunctionResult], bands: Bands, where: dict[str, str]) -> None:
    if not functions:
        return
    names = {function.id: current.plant.functions[function.id].name for function in functions}
    chart = rails(functions, names, bands=bands)
    figure, key = bar_chart(chart, frame.palette()), f"rails_{functions[0].demand}"
    picked: Any = st.plotly_chart(
        figure, key=key, on_select="rerun", selection_mode="points", theme=None, config=CONFIG, alt=chart.alt_text
    )
    points = picked["selection"]["points"]
    if points and (key := points[0].get("customdata")):
        frame.go("redundancy", function=str(key if isinstance(key, str) else key[0]), **where)


def _open_function(current: State, functions: list[FunctionResult], where: dict[str, str]) -> None:
    names = {function.id: titled(function.id, current.plant.functions[function.id].name) for function in functions}
    if not names:
        return
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    with left:
        key = st.selectbox("Function", list(names), format_func=names.__getitem__, key="open_function")
    with right:
        if st.button("Open", key="open", width="stretch"):
            frame.go("redundancy", function=key, **where)


def _table(
    current: State, worst: list[FunctionResult], rest: list[FunctionResult], beside: tuple[Bands, Besides]
) -> None:
    """The functions as a table; those beyond the worst only while their fold is open, with nothing beside their results."""
    st.markdown(f"### {'The worst' if rest else 'All'} functions as a table")
    tables.table(_function_rows(current, worst, beside), key="functions_table", alt=FUNCTIONS)
    if rest:
        folded = st.expander(f"All {len(worst) + len(rest):,} functions", key="all_functions", on_change="rerun")
        if folded.open:
            with folded:
                tables.table(
                    _function_rows(current, [*worst, *rest]), key="all_functions_table", alt=f"All: {FUNCTIONS}"
                )


def _function_rows(
    current: State, functions: list[FunctionResult], beside: tuple[Bands, Besides] | None = None
) -> list[dict[str, str]]:
    return [_function_row(current, function, beside) for function in functions]


def _function_row(current: State, function: FunctionResult, beside: tuple[Bands, Besides] | None) -> dict[str, str]:
    """Cells of a function, without band and second method where ``beside`` is None."""
    system = current.assessment.links.system_of_function.get(function.id, NONE)
    cases = function.cases
    zones = dict.fromkeys(zone for group in function.groups if (zone := current.plant.groups[group.id].zone))
    return {
        "Function": function.id,
        "Name": current.plant.functions[function.id].name,
        "System": system,
        "Measure": measure_name(function.demand),
        "Target": target(function.demand, function.target, function.target_sil),
        "With common cause": measure(function.demand, cases.scored),
        "Verdict": verdicts.in_short(function, "scored"),
        **({} if beside is None else _cells_beside(function, *beside)),
        "Cyber scenario": measure(function.demand, cases.adjusted),
        "Verdict, cyber scenario": verdicts.in_short(function, "adjusted"),
        "Share kept": percent(verdicts.share_kept(cases)),
        "Weakest group": function.weakest.id,
        "Open questions": str(sum(group.unanswered for group in function.groups)),
        "Gaps": _gap_count(current, zones),
        "Range while open": range_while_open(function),
        "One channel": measure(function.demand, cases.single),
        "No common cause": measure(function.demand, cases.ideal),
    }


def _cells_beside(function: FunctionResult, bands: Bands, besides: Besides) -> dict[str, str]:
    uncertainty = bands.get(function.id)
    return {
        "5 % to 95 %": band_figures(function, uncertainty),
        second_words.HEAD: second_words.cell(function, besides if function.id in besides else None),
        "Misses the target": percent(None if uncertainty is None else uncertainty.misses),
        "Rests mostly on": NONE if uncertainty is None else uncertainty.mostly.input.name,
    }


def _gap_count(current: State, zones: Collection[str]) -> str:
    """Number of gaps in the zones of a function; NONE for a reader who may not see the gaps of every zone."""
    count = sum(len(current.assessment.zone(zone).gaps) for zone in zones)
    everywhere = state.person().may_everywhere("see gap counts")
    return str(count) if everywhere or all(current.is_visible(f"zone:{zone}") for zone in zones) else NONE


def _plant_file(live: Live, current: State) -> None:
    st.markdown("### Plant file")
    left, right = st.columns(2)
    with left:
        person = state.person()
        if not person.may("see evidence"):
            content = "without its answers"
        else:
            content = "with its answers" if current.within is None else "with the answers of your team"
            content += (
                " except those to answer again"
                if any(asked not in current.stored for asked in current.records.to_answer_again)
                else ""
            )
        frame.download(
            f"Download this plant {content}",
            lambda: plant_file.to_text(current.file()),
            lambda: exports.handed_out(live, person, f"plant file {content}", needs="see betas and results"),
            file_name=f"plant-{live.key}.yaml",
            mime="application/yaml",
        )
        remarks = present_state.remarks_on(live, current)
        for remark in remarks[:MOST_REMARKS]:
            st.caption(escaped(remark))
        if len(remarks) > MOST_REMARKS:
            st.caption(f"{len(remarks) - MOST_REMARKS} more remarks; the command line lists all.")
    with right:
        file_import.upload()
        if state.person().may_everywhere(plant_data.Body.PERMISSION):
            frame.link("bring", "Bring a list (XLSX or CSV)")
    file_import.draw()


page = frame.screen(_draw)
