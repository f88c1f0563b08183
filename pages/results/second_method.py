"""A function by the second method: the timeline and Annex B beside each other, why they differ, and the function over its mission."""

from __future__ import annotations

import streamlit as st

from checks.analysis.second_opinion import Opinion, SecondOpinion
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import NONE, factor, small
from pages.cached import second_methods
from pages.charts import line_charts, plotly_figures
from pages.presentation.wording import escaped
from pages.ui import frame, tables
from scoring.timeline.method import ABOUT
from scoring.units import HOURS_PER_YEAR


def draw(live: Live, current: State, function: FunctionResult) -> None:
    """Draw the section of one function."""
    st.markdown("### A second method")
    second = second_methods.second(live, current, function.id)
    if second is None or second.function.timeline is None:
        st.caption("The timeline does not cover these groups: their results are stated.")
        return
    _table(function, second)
    st.markdown(escaped(_peak(function.demand, second)))
    chart = line_charts.over_time(second.curve, demand=function.demand, limit=function.limit)
    alt = f"{function.id} over the years of its mission, with its tests"
    st.plotly_chart(
        plotly_figures.time_chart(chart, frame.palette()),
        key="over_time",
        theme=None,
        config=plotly_figures.CONFIG,
        alt=alt,
    )
    text = f"{'The result is by the' if second.carried else 'Second method:'} {ABOUT.label}. Valid for {ABOUT.valid}."
    if not second.curve.whole:
        text += f" Too many tests to draw: the first {second.curve.hours[-1] / HOURS_PER_YEAR:.2g} years are shown."
    if any(entry.beta for entry in function.entries):
        text += " What alternatives share with each other is in the results and not in the curve."
    if second.taken:
        how = "constant, by Annex B or as stated" if second.carried else "taken from the first method, as stated"
        text += f" {', '.join(second.taken)}: {how}."
    st.caption(escaped(text))


def _peak(demand: str, second: SecondOpinion) -> str:
    peak, what = second.peak, "probability of failure on demand" if demand == "low" else "rate of failing per hour"
    in_test = " outside time in test of a group" if second.in_test else ""
    return (
        f"Highest {what}{in_test}: {small(peak.scored)} with common cause, after {peak.scored_at / HOURS_PER_YEAR:.3g} years; "
        f"{small(peak.adjusted)} with the cyber scenario."
    )


def _table(function: FunctionResult, second: SecondOpinion) -> None:
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    rows = [_row(entry, entry.id, unit) for entry in second.entries]
    tables.table([*rows, _row(second.function, function.id, unit)], key="second_table", alt="Both methods")


def _row(opinion: Opinion, name: str, unit: str) -> dict[str, str]:
    annex_b, timeline = opinion.annex_b or (None, None), opinion.timeline or (None, None)
    return {
        "Group": name,
        f"{unit} by Annex B": small(annex_b[0]),
        f"{unit} by timeline": small(timeline[0]),
        "Timeline / Annex B": NONE if opinion.ratio is None else factor(opinion.ratio),
        "Annex B, cyber scenario": small(annex_b[1]),
        "Timeline, cyber scenario": small(timeline[1]),
    }
