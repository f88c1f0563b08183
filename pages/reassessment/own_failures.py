"""The plant's own failures as evidence: beta and failure rates of the groups of a system, observed beside those in use."""

from __future__ import annotations

import streamlit as st

from checks.reassessment.failure_counts import FailureHistory
from checks.reassessment.own_beta import OwnBeta, own_betas
from checks.reassessment.own_rates import OwnRate, own_rates
from checks.state.live import State
from pages.charts import plotly_figures
from pages.charts.beta_intervals import beta_intervals, reading
from pages.presentation import own_failures
from pages.presentation.wording import escaped, small_print
from pages.ui import frame, tables
from scoring.field_data.observed_rates import OBSERVED_RATES
from scoring.field_data.pair_beta import PAIR_BETA


def draw(current: State, system: str) -> None:
    """Draw what the failures on record say of a system; nothing where none is on record and nothing was observed."""
    history = FailureHistory.of(current)
    systems_of = current.assessment.links.systems_of
    groups = [key for key in current.groups if system in systems_of.get(key, ()) and current.plant.groups[key].channels]
    if not own_failures.says_something(history, groups):
        return
    st.markdown("### What these failures say about beta and failure rates")
    st.markdown(own_failures.OPINION)
    _betas(current, own_betas(history, groups))
    _rates(own_rates(history, groups))
    rows = own_failures.left_out(history, groups)
    if rows:
        st.markdown("**Records that do not count**")
        tables.table(rows, key="own_left_out", alt="Failure records that do not count")


def _betas(current: State, estimates: list[OwnBeta]) -> None:
    if not estimates:
        return
    st.markdown("**Beta from the failures, beside the beta in use**")
    chart = beta_intervals(estimates, {key: group.name for key, group in current.plant.groups.items()})
    if chart.rows:
        figure = plotly_figures.bar_chart(chart, frame.palette(), named=True)
        st.plotly_chart(figure, key="own_beta", theme=None, config=plotly_figures.CONFIG, alt=chart.alt_text)
        st.markdown(small_print(escaped(reading())))
    rows = [own_failures.beta_row(estimate) for estimate in estimates if estimate.events]
    if rows:
        tables.table(rows, key="own_betas", alt="Beta from the failures, beside the beta in use")
    st.markdown(escaped(own_failures.without_failures(estimates)))
    st.caption(f"{own_failures.COUNTED} {own_failures.PRIOR} Source: {PAIR_BETA.source}.")


def _rates(rates: list[OwnRate]) -> None:
    if not rates:
        return
    st.markdown("**Failure rates of the channels, observed and assumed**")
    rows = [own_failures.rate_row(rate) for rate in rates if rate.observed is not None]
    if rows:
        tables.table(rows, key="own_rates", alt="Failure rates observed and assumed")
    st.markdown(escaped(own_failures.unobserved(rates)))
    st.caption(f"Source: {OBSERVED_RATES.source}. Valid for: {OBSERVED_RATES.valid}.")
