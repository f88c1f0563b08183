"""Effect of an answer: the rail of a function before and after, and a worse function that it cannot change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import streamlit as st

from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.state.live import State
from checks.text.number_format import measure, percent
from pages.charts.rail_html import bar_chart
from pages.charts.rails import rails
from pages.presentation.wording import escaped
from pages.ui import frame

HEAD = "**Effect of this answer**"


def moving_rail(current: State, worst: FunctionResult, earlier: Assessment, *, above: str = "") -> None:
    """Draw the rail of a function, with its state before the answer dotted, below other HTML."""
    before = {worst.id: earlier.function(worst.id)}
    chart = rails([worst], {worst.id: current.plant.functions[worst.id].name}, before=before)
    st.html(above + bar_chart(chart, frame.palette()))


def moved(label: str, demand: str, before: float, after: float) -> str:
    """One result before and after an answer, in words for a meeting room."""
    old, new = measure(demand, before), measure(demand, after)
    return f"{label}: **{new}**, unchanged" if old == new else f"{label}: {old} → **{new}**"


def worse_elsewhere(current: State, groups: Iterable[str], shown: FunctionResult) -> Iterator[str]:
    """Names a function that is worse than the one shown but that answers in this session do not change."""
    worst = current.assessment.worst_function(groups)
    if worst is not None and worst.id != shown.id:
        weakest, measured = worst.weakest, "PFD" if worst.demand == "low" else "PFH"
        yield (
            f"{escaped(shown.id)} is the worst function that answers in this session can change. {escaped(worst.id)} is "
            f"worse, but {escaped(weakest.id)} contributes {percent(worst.share_of('scored')[weakest.id])} of its {measured}."
        )
