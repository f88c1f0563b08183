"""What a result rests on: the uncertainty of a function, and the share of each uncertain input in it."""

from __future__ import annotations

import streamlit as st

from checks.analysis.uncertainty import Uncertainty
from checks.assessment.results import FunctionResult
from checks.text.number_format import percent
from pages.charts import plotly_figures
from pages.charts.rails import LEAST_SHARE, rests_on
from pages.presentation.uncertainty_words import band_sentence, sampled
from pages.presentation.wording import escaped
from pages.ui import frame, tables


def draw(function: FunctionResult, uncertainty: Uncertainty | None) -> None:
    """Draw the section of one function."""
    st.markdown("### What the result rests on")
    if uncertainty is None:
        st.caption(
            "No input of this function is uncertain: every error factor is 1 or every result stated, and no answer is open."
        )
        return
    st.markdown(escaped(band_sentence(function, uncertainty)))
    chart = rests_on(uncertainty)
    st.plotly_chart(
        plotly_figures.bar_chart(chart, frame.palette(), named=True),
        key="rests_on",
        theme=None,
        config=plotly_figures.CONFIG,
        alt=f"Share of each input in the uncertainty: {chart.alt_text}",
    )
    rows = [
        {"Input": part.input.name, "Spread": part.input.spread, "Share of the uncertainty": percent(part.share)}
        for part in uncertainty.rests_on
    ]
    rest = {
        "Input": "interactions and noise of the sample",
        "Spread": "",
        "Share of the uncertainty": percent(uncertainty.rest),
    }
    tables.table([*rows, rest], key="rests_on_table", alt="Share of each input in the uncertainty")
    st.caption(
        escaped(
            f"First-order shares: what knowing one input alone would take off the variance of the logarithm of the result. Inputs under "
            f"{percent(LEAST_SHARE)} have no bar. {sampled(uncertainty)}"
        )
    )
