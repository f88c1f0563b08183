"""The frame: page settings, navigation. No logic here."""

from pathlib import Path

import streamlit as st

from pages.plant import overview
from pages.results import redundancy_left, zones_and_gaps
from pages.session import common_cause, cyber
from pages.shared import places, resources

st.set_page_config(
    page_title="Shared-Cause Review", page_icon=str(Path(__file__).parent / "pages/shared/icon.png"), layout="wide"
)
resources.settle()
PAGES = {
    "plant": st.Page(overview.page, title="Plant", url_path="plant", default=True),
    "common-cause": st.Page(common_cause.page, title="Common-cause session", url_path="common-cause"),
    "cyber": st.Page(cyber.page, title="Cyber session", url_path="cyber"),
    "redundancy": st.Page(redundancy_left.page, title="Redundancy left", url_path="redundancy"),
    "zones": st.Page(zones_and_gaps.page, title="Zones and gaps", url_path="zones"),
}
places.know(PAGES)
st.navigation(list(PAGES.values()), position="top").run()
