"""Spurious trips of one function: by group and convention, and beside its result for other voting of one group."""

from __future__ import annotations

import numpy as np
import streamlit as st

from checks.analysis import beta_curves, spurious_trips
from checks.assessment.results import FunctionResult
from checks.state.live import State
from checks.text.number_format import measure, measure_name
from pages.presentation import trip_rows
from pages.presentation.wording import escaped
from pages.ui import tables


def draw(current: State, function: FunctionResult) -> None:
    """Draw the section of one function."""
    st.markdown("### Spurious trips")
    trips = spurious_trips.of_function(current.assessment, function.id)
    st.markdown(escaped(trip_rows.sentence(trips)))
    tables.table(trip_rows.group_rows(trips), key="trips_table", alt="Spurious trips by group")
    st.caption(escaped(" ".join(trip_rows.notes(trips.groups))))
    with st.expander("Both conventions with their equations"):
        st.markdown("\n".join(f"- {escaped(line)}" for line in trip_rows.conventions()))


def beside_other_voting(current: State, function: FunctionResult, group: str) -> None:
    """Draw a table of votings of a group: result of the function and spurious trips of the group, as built and instead."""
    assessment = current.assessment
    betas = assessment.group(group).betas
    if betas is None:
        return
    here = beta_curves.against_beta(assessment, function.id, group, beta_int=np.array([betas.beta_int]))
    rows = [
        {
            "Voting": f"{curve.voting} as built" if curve.as_built else f"{curve.voting} instead",
            f"{measure_name(function.demand)} of {function.id}": measure(function.demand, float(curve.result[0])),
            **trip_rows.voting_cells(spurious_trips.of_group(assessment, group, curve.voting)),
        }
        for curve in here.curves
    ]
    st.markdown("**Safety against spurious trips**")
    tables.table(rows, key="votings_table", alt=f"Result and spurious trips by voting of {group}")
    st.caption(
        "With common cause, at the present beta of a pair. Another number of channels has the mean rates of these. –: not printed "
        "by this convention, or not known."
    )
