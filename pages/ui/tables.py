"""Tables on the screens: a short one wraps its texts, a long one is a grid that shows the chosen row in full below it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import streamlit as st

from pages.presentation.direction import isolated
from pages.presentation.html_table import html_table
from pages.ui import frame

MOST_WRAPPED = 40
"""Maximum rows of a table whose texts wrap; a longer one is a grid, which draws only what is in view."""
WIDEST = 320
"""Widest column of a grid [px]; the last column takes what is left."""


def _width(name: str, rows: Sequence[Mapping[str, Any]]) -> int:
    """Width of a column of a grid [px], that of its longest text within limits: left to itself, the grid looks at few rows only."""
    longest = max(len(name), *(len(str(row[name])) for row in rows))
    return min(WIDEST, 24 + 13 * longest // 2)


def table(rows: Sequence[Mapping[str, Any]], *, key: str, alt: str, most: int = MOST_WRAPPED) -> None:
    """Draw rows, which all have the same columns, with every text readable; ``alt`` names the table.

    The texts of up to ``most`` rows wrap.
    """
    if len(rows) <= most:
        st.html(html_table(rows, alt, frame.palette()))
        return
    first = next(iter(rows[0]))
    picked: Any = st.dataframe(
        pd.DataFrame(
            [{name: isolated(cell) if isinstance(cell, str) else cell for name, cell in row.items()} for row in rows]
        ),
        hide_index=True,
        key=key,
        alt=alt,
        on_select="rerun",
        selection_mode="single-cell",
        column_config={
            name: st.column_config.Column(pinned=name == first, width=_width(name, rows)) for name in list(rows[0])[:-1]
        },
    )
    cells = [cell for cell in picked["selection"]["cells"] if cell[0] < len(rows)]
    if not cells:
        st.caption("Select a cell to read its whole row here.")
        return
    chosen = rows[cells[0][0]]
    pairs = [{first: name, str(chosen[first]): value} for name, value in chosen.items() if name != first]
    st.html(html_table(pairs, f"Row {chosen[first]}", frame.palette()))
