"""What an answer does, beside the question: the rail that moves, and who is worse off but beyond reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import streamlit as st

from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.state.live import State
from checks.text.number_format import percent
from pages.charts.rail_html import bar_chart
from pages.charts.rails import rails
from pages.presentation.wording import plain
from pages.ui import frame


def moving_rail(now: State, worst: FunctionResult, earlier: Assessment) -> None:
    """Rail of a function as it stands now, with the state before the answer as a dotted ghost."""
    before = {worst.id: earlier.function(worst.id)}
    drawn = rails([worst], {worst.id: now.plant.functions[worst.id].name}, before=before)
    st.html(bar_chart(drawn, frame.palette()))


def worse_elsewhere(now: State, groups: Iterable[str], shown: FunctionResult) -> Iterator[str]:
    """The sentence on the function that is worse off than the one shown, but that nothing answered here can move."""
    worst = now.assessment.worst_function(groups)
    if worst is not None and worst.id != shown.id:
        weakest = worst.weakest
        yield (
            f"{plain(shown.id)} is the worst function that answers here can move. {plain(worst.id)} is worse off, "
            f"but {plain(weakest.id)} contributes {percent(worst.share_of('scored')[weakest.id])} of it."
        )
