"""The frame: page settings, navigation, and the server that shows it. No logic here."""

import logging
from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware

from pages.plant import overview
from pages.results import redundancy_left, zones_and_gaps
from pages.review import again, changed, due, sign_off
from pages.session import common_cause, cyber
from pages.shared import places
from pages.shared.headers import SecurityHeaders
from pages.shared.server import lifespan

ICON = Path(__file__).parent / "pages" / "shared" / "icon.png"


def screens() -> st.Page:
    """All screens in one flat list; returns the one that the address names."""
    pages = {
        "plant": st.Page(overview.page, title="Plant", url_path="plant", default=True),
        "common-cause": st.Page(common_cause.page, title="Common-cause session", url_path="common-cause"),
        "cyber": st.Page(cyber.page, title="Cyber session", url_path="cyber"),
        "redundancy": st.Page(redundancy_left.page, title="Redundancy left", url_path="redundancy"),
        "zones": st.Page(zones_and_gaps.page, title="Zones and gaps", url_path="zones"),
        "due": st.Page(due.page, title="Due and open", url_path="due"),
        "again": st.Page(again.page, title="Re-assessment", url_path="again"),
        "changed": st.Page(changed.page, title="What changed", url_path="changed"),
        "sign-off": st.Page(sign_off.page, title="Sign-off", url_path="sign-off"),
    }
    places.know(pages)
    return st.navigation(list(pages.values()), position="top")


if __name__ == "__main__":  # one run for one browser
    st.set_page_config(page_title="Shared-Cause Review", page_icon=str(ICON), layout="wide")
    screens().run()
else:  # the server, once: name the screens before the first browser comes, so that a shared link finds its screen
    logging.getLogger("streamlit.runtime.scriptrunner_utils.script_run_context").setLevel(logging.ERROR)
    screens()
    app = st.App(__file__, lifespan=lifespan, middleware=[Middleware(SecurityHeaders)])
