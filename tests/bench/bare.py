"""The framework alone, as a script of its own: six answers to choose from, and a table that shows the one chosen.

The collector's load is taken off as in the program itself, so that the two can be compared.
"""

import gc

import streamlit as st

ANSWERS = ("Met", "Partly", "Not met", "Not known", "Met another way", "Does not apply")


@st.cache_resource(show_spinner=False)
def _freeze() -> None:
    gc.collect()
    gc.freeze()


_freeze()
chosen = st.segmented_control("Answer", ANSWERS, default="Met", key="answer", required=True)
st.markdown(f"| answer | now |\n|---|---|\n| chosen | {chosen} |")
