"""Redundancy left: what redundancy gains one function, which group limits it, and what one compromise would defeat."""

from __future__ import annotations

import numpy as np
import pandas as pd
import streamlit as st

from checks.assessment import beta_curves, compromise, exposure_opinions
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import NONE, measure, measure_name, percent, small
from pages.charts import line_charts, plotly_figures
from pages.charts.rail_html import legend
from pages.charts.rails import by_rule, shares, steps
from pages.presentation.wording import break_even, counted, gained, plain, rail_figures, standing, titled
from pages.ui import frame, state
from scoring.exposure import SCENARIO

BETAS = np.logspace(-3, 0, 121)
CASES = {
    "single": "One channel of each group",
    "adjusted": "With common cause and the cyber scenario",
    "scored": "With common cause",
    "ideal": "No common cause",
}


def _draw(_live: Live, now: State) -> None:
    names = {key: titled(key, one.name) for key, one in now.plant.functions.items()}
    if not names:
        st.info("No function is described yet: import a plant file on the Plant screen.")
        return
    worst = now.assessment.functions()[0].id
    key = frame.choose("Function", "function", names, default=worst, clear=("group",))
    one = now.assessment.function(key)
    st.markdown(f"## {plain(gained(one))}")
    st.markdown(plain(standing(one)))
    frame.rule(now)
    st.html(legend(frame.palette()))
    left, right = st.columns(2, gap="large")
    with left:
        _steps(one)
    with right:
        _shares(now, one)
    _groups(now, one)
    _compromise(now, one)
    _curves(now, one)


def _steps(one: FunctionResult) -> None:
    st.markdown("### The four cases")
    figure = plotly_figures.bar_chart(steps(one, CASES), frame.palette())
    alt = f"{one.id}: {rail_figures(one)}"
    st.plotly_chart(figure, key="steps", theme=None, config=plotly_figures.CONFIG, alt=alt)
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
    st.markdown("### Which group limits it")
    names = {group.id: now.plant.groups[group.id].name for group in one.groups}
    drawn = shares(one, names)
    figure = plotly_figures.bar_chart(drawn, frame.palette(), named=True)
    st.plotly_chart(
        figure,
        key="shares",
        theme=None,
        config=plotly_figures.CONFIG,
        alt=f"Share by group, with common cause: {drawn.said}",
    )


def _groups(now: State, one: FunctionResult) -> None:
    unit = "PFDavg" if one.demand == "low" else "PFH [1/h]"
    rows = []
    for group in one.groups:
        parts, betas, cases = one.measured(group).scored, group.betas, one.group_cases(group)
        rows.append(
            {
                "Group": group.id,
                "Voting": str(group.voting),
                "Share": percent(one.share_of("scored")[group.id]),
                f"{unit} with common cause": small(cases.scored),
                "Independent": small(float(parts.independent) if parts else None),
                "Common cause": small(float(parts.shared) if parts else None),
                "With cyber scenario": small(cases.adjusted),
                "Beta": percent(betas.beta) if betas else NONE,
                "Beta, cyber scenario": percent(betas.beta_adjusted) if betas else NONE,
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
    heaviest = max(redundant, key=one.share_of("scored").__getitem__)
    group = frame.choose("Group that is varied", "group", redundant, default=heaviest)
    drawn = beta_curves.against_beta(now.assessment, one.id, group, beta_int=BETAS)
    figure = plotly_figures.curve_chart(
        line_charts.against_beta(drawn, demand=one.demand, limit=one.limit), frame.palette()
    )
    alt = f"{measure_name(one.demand)} of {one.id} against the beta of {group}"
    st.plotly_chart(figure, key="curves", theme=None, config=plotly_figures.CONFIG, alt=alt)
    said = "With common cause. The other groups, tests and repair stay as they are. A flat curve means that this group hardly matters."
    if now.assessment.group(group).voting.tolerance or any(not curve.voting.redundant for curve in drawn.curves):
        said += " 1oo1 and 2oo2 have no fault tolerance: beta does not count for them."
    st.caption(said)
    with st.expander("The curves as a table"):
        picked = [int(np.argmin(np.abs(BETAS - beta))) for beta in (0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)]
        table = {"beta_int": [percent(float(BETAS[at])) for at in picked]}
        for curve in drawn.curves:
            head = f"{curve.voting} as built" if curve.as_built else f"{curve.voting} instead"
            table[head] = [measure(one.demand, float(curve.result[at])) for at in picked]
        st.dataframe(pd.DataFrame(table), hide_index=True, key="curves_table", alt=alt)


def _compromise(now: State, one: FunctionResult) -> None:
    """What the cyber scenario does to the number, by each rule, and what it cannot show."""
    st.markdown("### One compromise defeats it")
    rows = [
        {
            "Zone": titled(way.zone, now.plant.zones[way.zone].name),
            "Programmable groups": ", ".join(way.groups),
            "Gaps there": _gap_count(now, way),
            "Conduits in": ", ".join(f"{key} from {end}" for key, end in way.conduits) or NONE,
        }
        for way in compromise.ways(now.assessment, one.id)
    ]
    if rows:
        st.markdown(
            f"Programmable groups of {plain(one.id)} lie in {counted(len(rows), 'zone')}. A compromise of any one defeats every "
            "channel there at once, whatever the voting."
        )
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="defeated_by", alt="Zones whose compromise defeats it")
    else:
        st.markdown(
            f"No programmable group of {plain(one.id)} lies in a zone: no compromise of a zone defeats it directly."
        )
    unmoved = compromise.unmoved(now.assessment, one.id)
    if unmoved:
        named = ", ".join(map(plain, unmoved))
        st.caption(
            f"{named}: programmable, but without redundancy. No beta, so the cyber scenario does not move this number."
        )
    _rules(now, one)
    if one.demand == "low":
        st.markdown(plain(break_even(one)))


def _gap_count(now: State, way: compromise.Way) -> str:
    """Gaps of a zone as the reader may know them."""
    if way.gaps is None:
        return "not reviewed"
    return str(way.gaps) if state.person().may_everywhere("see gap counts") or now.shows(f"zone:{way.zone}") else NONE


def _rules(now: State, one: FunctionResult) -> None:
    """The result with the cyber scenario by each exposure rule, on one axis with the case with common cause and the target."""
    st.markdown("**The cyber scenario by three rules**")
    found = exposure_opinions.by_exposure_rule(now.assessment, one.id)
    drawn = by_rule(one, found)
    figure = plotly_figures.bar_chart(drawn, frame.palette())
    alt = f"{measure_name(one.demand)} of {one.id} by exposure rule: {drawn.said}"
    st.plotly_chart(figure, key="exposure_rules", theme=None, config=plotly_figures.CONFIG, alt=alt)
    chosen = now.assessment.editions.exposure.about.label
    st.caption(f"Chosen for this plant: {plain(chosen)}. {SCENARIO[0].upper()}{SCENARIO[1:]}.")


page = frame.screen(_draw)
