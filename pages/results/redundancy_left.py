"""Redundancy left: what the redundancy of one function bought, and what of it is left."""

from __future__ import annotations

import numpy as np
import pandas as pd
import streamlit as st

from checks import curves
from checks.figures import NONE, measure, measure_name, percent, small
from checks.live import Live, State
from checks.results import FunctionResult
from pages.shared import charts, frame, line_charts
from pages.shared.rail_html import legend
from pages.shared.rails import shares, steps
from pages.shared.wording import bought, break_even, plain, rail_figures, titled, what_remains
from scoring.exposure import SCENARIO

BETAS = np.logspace(-3, 0, 121)
CASES = {
    "single": "One channel of each group",
    "adjusted": "What is left: adjusted for cyber exposure",
    "scored": "Scored: with the shared causes answered",
    "ideal": "Ideal: channels that share nothing",
}


def _draw(_live: Live, now: State) -> None:
    names = {key: titled(key, one.name) for key, one in now.plant.functions.items()}
    if not names:
        st.info("No function is described yet: import a plant file on the Plant screen.")
        return
    worst = now.assessment.functions()[0].id
    key = frame.choose("Function", "function", names, default=worst, clear=("group",))
    one = now.assessment.function(key)
    st.markdown(f"## {plain(bought(one))}")
    st.markdown(plain(what_remains(one)))
    frame.rule(now)
    st.html(legend(frame.palette()))
    left, right = st.columns(2, gap="large")
    with left:
        _steps(one)
    with right:
        _shares(now, one)
    _groups(now, one)
    _curves(now, one)
    _break_even(one)


def _steps(one: FunctionResult) -> None:
    st.markdown("### The four cases")
    figure = charts.bar_chart(steps(one, CASES), frame.palette())
    alt = f"{one.id}: {rail_figures(one)}"
    st.plotly_chart(figure, key="steps", theme=None, config=charts.CONFIG, alt=alt)
    unit = "PFDavg" if one.demand == "low" else "PFH [1/h]"
    results = {words: getattr(one.cases, case) for case, words in CASES.items()}
    rows = (
        [
            {"Case": words, measure_name(one.demand): measure(one.demand, result), unit: small(result)}
            for words, result in results.items()
        ]
        if one.demand == "low"
        else [{"Case": words, unit: small(result)} for words, result in results.items()]
    )
    st.dataframe(pd.DataFrame(rows), hide_index=True, key="cases", alt="The four cases")


def _shares(now: State, one: FunctionResult) -> None:
    st.markdown("### Who carries what remains")
    names = {group.id: now.plant.groups[group.id].name for group in one.groups}
    drawn = shares(one, names)
    figure = charts.bar_chart(drawn, frame.palette(), named=True)
    st.plotly_chart(figure, key="shares", theme=None, config=charts.CONFIG, alt=f"Share by group: {drawn.said}")


def _groups(now: State, one: FunctionResult) -> None:
    unit = "PFDavg" if one.demand == "low" else "PFH [1/h]"
    rows = []
    for group in one.groups:
        parts, betas = one.group_parts(group), group.betas
        rows.append(
            {
                "Group": group.id,
                "Voting": str(group.voting),
                "Share": percent(one.share[group.id]),
                f"{unit}, adjusted": small(one.group_cases(group).adjusted),
                "Independent": small(float(parts.independent)),
                "Shared": small(float(parts.shared)),
                "Beta scored": percent(betas.beta) if betas else NONE,
                "Beta adjusted": percent(betas.beta_adjusted) if betas else NONE,
                "Exposure": "not reviewed" if group.exposure is None else percent(group.exposure),
            }
        )
    st.dataframe(pd.DataFrame(rows), hide_index=True, key="shares_table", alt="Groups with share, parts and betas")
    weakest = one.weakest
    if weakest.betas is not None and now.shows(f"group:{weakest.id}"):
        frame.lead("common-cause", f"Answer for {weakest.id}", group=weakest.id)
    zone = now.plant.groups[weakest.id].zone
    if zone is not None and now.shows(f"zone:{zone}"):
        frame.lead("cyber", f"Answer for its zone {zone}", zone=zone)


def _curves(now: State, one: FunctionResult) -> None:
    st.markdown("### Against beta, as built and with other voting")
    redundant = {group.id: f"{group.id} ({group.voting})" for group in one.groups if group.betas is not None}
    if not redundant:
        st.caption("No group of this function is redundant, so beta does nothing here.")
        return
    heaviest = max(redundant, key=lambda key: one.share[key])
    group = frame.choose("Group that is varied", "group", redundant, default=heaviest)
    drawn = curves.against_beta(now.assessment, one.id, group, beta_int=BETAS)
    figure = charts.curve_chart(line_charts.against_beta(drawn, demand=one.demand, limit=one.limit), frame.palette())
    alt = f"{measure_name(one.demand)} of {one.id} against the beta of {group}"
    st.plotly_chart(figure, key="curves", theme=None, config=charts.CONFIG, alt=alt)
    said = "The other groups stay as adjusted; tests and repair stay as they are. A flat curve means that this group hardly matters."
    if now.assessment.group(group).voting.tolerance or any(not curve.voting.redundant for curve in drawn.curves):
        said += " 1oo1 and 2oo2 survive no failure: beta does not count for them."
    st.caption(said)
    with st.expander("The curves as a table"):
        picked = [int(np.argmin(np.abs(BETAS - beta))) for beta in (0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)]
        table = {"beta_int": [percent(float(BETAS[at])) for at in picked]}
        for curve in drawn.curves:
            head = f"{curve.voting} as built" if curve.as_built else f"{curve.voting} instead"
            table[head] = [measure(one.demand, float(curve.result[at])) for at in picked]
        st.dataframe(pd.DataFrame(table), hide_index=True, key="curves_table", alt=alt)


def _break_even(one: FunctionResult) -> None:
    if one.demand == "low":
        st.markdown(plain(break_even(one)))
        st.caption(f"Adjusted values: {SCENARIO}.")


page = frame.screen(_draw)
