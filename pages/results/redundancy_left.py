"""Redundancy left screen: what redundancy gains one function, which group limits it, and which zones defeat it."""

from __future__ import annotations

import numpy as np
import streamlit as st

from checks.analysis import beside_result, beta_curves
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.results import FunctionResult
from checks.reach import compromise
from checks.state.live import Live, State
from checks.text.number_format import NONE, measure, measure_name, percent, small
from pages.cached import second_methods, uncertainties
from pages.charts import line_charts, plotly_figures
from pages.charts.rail_html import legend
from pages.charts.rails import BAND, shares, steps
from pages.presentation import second_words
from pages.presentation.uncertainty_words import within_band
from pages.presentation.wording import (
    break_even,
    counted,
    escaped,
    rail_figures,
    redundancy_sentence,
    titled,
    verdict_sentence,
    without_beta,
)
from pages.results import architecture, opinions, second_method, spurious_trips, what_it_rests_on
from pages.ui import frame, places, state, system_filter, tables

PARTS = {
    "cases": "Cases and groups",
    "rests": "What it rests on",
    "time": "Second method",
    "beta": "Against beta",
    "compromise": "One compromise",
    "trips": "Spurious trips",
    "architecture": "Architecture",
}
"""The parts of this screen by their name in the address; one of them is shown."""
BETAS = np.logspace(-3, 0, 121)
CASES = {
    "single": "One channel of each group",
    "adjusted": "With common cause and the cyber scenario",
    "scored": "With common cause",
    "ideal": "No common cause",
}


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, function.name) for key, function in current.plant.functions.items()}
    if not names:
        st.info("No function is described yet: set it up under Plant.")
        return
    left, right = st.columns([2, 1])
    named = state.at("function")
    scope = system_filter.chosen(
        current, right, lambda scope: bool(scope.functions) and (named not in names or named in scope.functions)
    )
    if scope is not None:
        names = {key: name for key, name in names.items() if key in scope.functions}
    worst_first = [function.id for function in current.assessment.functions() if function.id in names]
    with left:
        key = places.choose_place(current, "Function", "function", names, prefer=worst_first, clear=("group",))
    function = current.assessment.function(key)
    st.markdown(f"## {escaped(redundancy_sentence(function))}")
    uncertainty = uncertainties.uncertain(live, current, key)
    st.markdown(escaped(f"{verdict_sentence(function)}{within_band(function, uncertainty)}"))
    beside = beside_result.in_short(second_methods.second(live, current, key))
    st.markdown(escaped(second_words.sentence(function, beside)))
    frame.method_note(current)
    # An address of an earlier release may name the group to vary and no part.
    part = places.choose_part("Part", "part", PARTS, default="beta" if state.at("group") else "cases")
    _part(live, current, function, uncertainty, part)


def _part(live: Live, current: State, function: FunctionResult, uncertainty: Uncertainty | None, part: str) -> None:
    """Draw one part of the screen."""
    if part == "cases":
        _cases(current, function, uncertainty)
    elif part == "rests":
        what_it_rests_on.draw(function, uncertainty)
        _own_failures(current, function)
    elif part == "time":
        second_method.draw(live, current, function)
    elif part == "beta":
        varied = _curves(current, function)
        if varied is not None:
            opinions.betas(live, current, varied)
    elif part == "compromise":
        _compromise(current, function)
    elif part == "trips":
        spurious_trips.draw(current, function)
    else:
        architecture.draw(current, function)


def _cases(current: State, function: FunctionResult, uncertainty: Uncertainty | None) -> None:
    st.html(legend(frame.palette(), *([BAND] if uncertainty else [])))
    left, right = st.columns(2, gap="large")
    with left:
        _steps(function, uncertainty)
    with right:
        _group_shares(current, function)
    _groups(current, function)


def _steps(function: FunctionResult, uncertainty: Uncertainty | None) -> None:
    st.markdown("### The four cases")
    figure = plotly_figures.bar_chart(steps(function, CASES, uncertainty), frame.palette())
    alt = f"{function.id}: {rail_figures(function)}"
    st.plotly_chart(figure, key="steps", theme=None, config=plotly_figures.CONFIG, alt=alt)
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    results = {words: getattr(function.cases, case) for case, words in CASES.items()}
    rows = (
        [
            {"Case": words, measure_name(function.demand): measure(function.demand, result), unit: small(result)}
            for words, result in results.items()
        ]
        if function.demand == "low"
        else [{"Case": words, unit: small(result)} for words, result in results.items()]
    )
    tables.table(rows, key="cases", alt="The four cases")


def _group_shares(current: State, function: FunctionResult) -> None:
    st.markdown("### Which group limits it")
    names = {group.id: current.plant.groups[group.id].name for group in function.groups}
    chart = shares(function, names)
    figure = plotly_figures.bar_chart(chart, frame.palette(), named=True)
    st.plotly_chart(
        figure,
        key="shares",
        theme=None,
        config=plotly_figures.CONFIG,
        alt=f"Share by group, with common cause: {chart.alt_text}",
    )


def _groups(current: State, function: FunctionResult) -> None:
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    rows = []
    for entry in function.entries:
        betas, cases, split = (
            entry.groups[0].betas if entry.beta is None else None,
            entry.measured.cases,
            entry.measured.scored,
        )
        exposures = ["not reviewed" if group.exposure is None else percent(group.exposure) for group in entry.groups]
        rows.append(
            {
                "Group": entry.id,
                "Voting": entry.arrangement,
                "Share": percent(function.share_of("scored")[entry.id]),
                f"{unit} with common cause": small(cases.scored),
                "Independent": small(float(split.independent) if split else None),
                "Common cause": small(float(split.shared) if split else None),
                "Tests, stated": small(entry.measured.terms.total or None),
                "With cyber scenario": small(cases.adjusted),
                "Beta": percent(betas.beta) if betas else NONE,
                "Beta, cyber scenario": percent(betas.beta_adjusted) if betas else NONE,
                "Exposure": " or ".join(exposures),
            }
        )
    tables.table(rows, key="shares_table", alt="Groups with share, parts and betas")
    for weakest in function.weakest.groups:
        if weakest.betas is not None and current.is_visible(f"group:{weakest.id}"):
            frame.link("common-cause", f"Answer for {weakest.id}", group=weakest.id)
        zone = current.plant.groups[weakest.id].zone
        if zone is not None and current.is_visible(f"zone:{zone}"):
            frame.link("cyber", f"Answer for its zone {zone}", zone=zone)


def _own_failures(current: State, function: FunctionResult) -> None:
    """Link to what recorded failures of its groups say, for who may see them."""
    system = current.assessment.links.system_of_function.get(function.id, "")
    failed = {key for failure in current.records.failures for key in failure.body.groups}
    shown = system in current.systems and state.person().may("see evidence")
    if shown and failed.intersection(group.id for group in function.groups):
        frame.link("again", "What the plant's own failures say about beta and failure rates", system=system)


def _curves(current: State, function: FunctionResult) -> str | None:
    """Draw the function against the beta of a group; returns that group, None where no group is redundant."""
    st.markdown("### Against beta, as built and with other voting")
    redundant = {group.id: f"{group.id} ({group.voting})" for group in function.groups if group.betas is not None}
    if not redundant:
        st.caption("No group of this function is redundant, so beta has no effect.")
        return None
    share = function.share_of("scored")
    heaviest = max(redundant, key=lambda key: share[function.entry_of(key).id])
    group = places.choose("Group to vary", "group", redundant, default=heaviest)
    curves = beta_curves.against_beta(current.assessment, function.id, group, beta_int=BETAS)
    figure = plotly_figures.curve_chart(
        line_charts.against_beta(curves, demand=function.demand, limit=function.limit), frame.palette()
    )
    alt = f"{measure_name(function.demand)} of {function.id} against the beta of {group}"
    st.plotly_chart(figure, key="curves", theme=None, config=plotly_figures.CONFIG, alt=alt)
    text = "With common cause. Other groups, tests and repair are unchanged. A flat curve means that this group contributes little."
    if current.assessment.group(group).voting.tolerance or any(not curve.voting.redundant for curve in curves.curves):
        text += " 1oo1 and 2oo2 have no fault tolerance, so beta has no effect on them."
    if current.assessment.on_timeline(group):
        text += " With another number of channels all are tested on one day."
    st.caption(text)
    spurious_trips.beside_other_voting(current, function, group)
    with st.expander("The curves as a table"):
        picked = [int(np.argmin(np.abs(BETAS - beta))) for beta in (0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)]
        table = {"beta_int": [percent(float(BETAS[index])) for index in picked]}
        for curve in curves.curves:
            head = f"{curve.voting} as built" if curve.as_built else f"{curve.voting} instead"
            table[head] = [measure(function.demand, float(curve.result[index])) for index in picked]
        lines = [dict(zip(table, cells, strict=True)) for cells in zip(*table.values(), strict=True)]
        tables.table(lines, key="curves_table", alt=alt)
    return group


def _compromise(current: State, function: FunctionResult) -> None:
    """Zones that defeat the function, and its result with the cyber scenario by each exposure rule."""
    st.markdown("### One compromise defeats it")
    rows = [
        {
            "Zone": titled(way.zone, current.plant.zones[way.zone].name),
            "Programmable groups": ", ".join(way.groups),
            "Gaps there": _gap_count(current, way),
            "Conduits in": ", ".join(f"{key} from {end}" for key, end in way.conduits) or NONE,
        }
        for way in compromise.ways(current.assessment, function.id)
    ]
    if rows:
        st.markdown(
            f"Programmable groups of {escaped(function.id)} lie in {counted(len(rows), 'zone')}. The compromise of one of them defeats "
            "every channel there at once, whatever the voting."
        )
        tables.table(rows, key="defeated_by", alt="Zones whose compromise defeats it")
    else:
        st.markdown(
            f"No programmable group of {escaped(function.id)} lies in a zone: no compromise of a zone defeats it directly."
        )
    unmoved = compromise.unmoved(current.assessment, function.id)
    if unmoved:
        st.caption(escaped(without_beta(unmoved)))
    opinions.exposure_rules(current, function)
    if function.demand == "low":
        st.markdown(escaped(break_even(function)))


def _gap_count(current: State, way: compromise.Way) -> str:
    """Number of gaps of a zone; NONE for a reader who may not see it."""
    if way.gaps is None:
        return "not reviewed"
    return (
        str(way.gaps)
        if state.person().may_everywhere("see gap counts") or current.is_visible(f"zone:{way.zone}")
        else NONE
    )


page = frame.screen(_draw, place="function")
