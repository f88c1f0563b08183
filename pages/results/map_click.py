"""The zone map drawn on a screen: a click on a box chooses its zone in the address."""

from __future__ import annotations

from typing import Any

import plotly.graph_objects as go
import streamlit as st

from pages.charts.plotly_figures import CONFIG
from pages.ui import state


def drawn(figure: go.Figure, *, key: str, alt: str, name: str, chosen: str) -> None:
    """Draw a zone map under a widget key; a click on another zone than the chosen one moves the query parameter ``name`` to it."""
    picked: Any = st.plotly_chart(
        figure, key=key, on_select="rerun", selection_mode="points", theme=None, config=CONFIG, alt=alt
    )
    points = picked["selection"]["points"]
    if not points:
        return
    named = points[0].get("customdata")
    zone = str(named if isinstance(named, str) else named[0])
    clicked = state.get(f"{key} click")
    state.put(f"{key} click", zone)
    if zone not in (clicked, chosen):
        state.move(**{name: zone})
        st.rerun()
