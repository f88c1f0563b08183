"""Architecture of one function: hardware fault tolerance by each route, and systematic capability, as separate statements."""

from __future__ import annotations

import streamlit as st

from checks.analysis import architecture
from checks.assessment.results import FunctionResult
from checks.state.live import State
from pages.presentation import architecture_rows
from pages.presentation.wording import escaped
from pages.ui import tables


def draw(current: State, function: FunctionResult) -> None:
    """Draw the section of one function."""
    st.markdown("### Architecture")
    stated = architecture.of_function(current.assessment, function.id)
    st.markdown(escaped(architecture_rows.sentences(stated)))
    tables.table(architecture_rows.group_rows(stated), key="architecture_table", alt="Architecture by group")
    if stated.devices:
        tables.table(architecture_rows.device_rows(stated), key="architecture_devices", alt="Devices and their SFF")
    st.caption(escaped(" ".join(architecture_rows.notes())))
