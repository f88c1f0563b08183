"""The framework alone: a script with six answers and a table that shows the chosen one.

The garbage collector is frozen as in the program itself, so that the two are comparable.
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
