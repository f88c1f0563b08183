"""What stands beside the figures of a system at its sign-off and is no part of what is signed: second method and band."""

from __future__ import annotations

import streamlit as st

from checks.analysis.beside_result import Figures
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, target
from pages.cached import revision_results
from pages.presentation import second_words
from pages.presentation.uncertainty_words import band_figures, computed
from pages.presentation.wording import escaped
from pages.ui import tables


def draw(live: Live, current: State, system: str, label: str) -> None:
    """Draw the results of a system at a revision, by number, or ``now``, with what stands beside them."""
    st.markdown("### Results, and beside them")
    found = revision_results.beside_then(live, current, system, label)
    if found is None:
        st.caption(f"{second_words.WAITING} being calculated")
        return
    rows = [_row(function, found) for function in found.functions.values()]
    tables.table(rows, key="beside_figures", alt=f"Results of {system} and what stands beside them")
    method = f"{computed(next(iter(found.bands.values())))} " if found.bands else ""
    summary = second_words.summary(found.functions.values(), found.besides)
    st.caption(
        escaped(
            "5 % to 95 % and the second method stand beside the figures; they are not part of what is signed. "
            f"{method}{summary}"
        )
    )


def _row(function: FunctionResult, found: Figures) -> dict[str, str]:
    return {
        "Function": function.id,
        "Measure": measure_name(function.demand),
        "Target": target(function.demand, function.target, function.target_sil),
        "With common cause": measure(function.demand, function.cases.scored),
        "Verdict": verdicts.in_short(function, "scored"),
        "Cyber scenario": measure(function.demand, function.cases.adjusted),
        "Verdict, cyber scenario": verdicts.in_short(function, "adjusted"),
        "Beside: 5 % to 95 %": band_figures(function, found.bands.get(function.id)),
        f"Beside: {second_words.HEAD.lower()}": second_words.cell(function, found.besides),
    }
