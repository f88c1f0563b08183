"""Entry point: page settings, navigation and server. No logic here."""

import logging
from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware

from checks.access.roles import Person
from checks.access.sign_ins import NotSignedIn
from pages.plant import overview
from pages.preparation import prepare
from pages.reassessment import due_and_open, reassessment
from pages.results import redundancy_left, what_changed, zones_and_gaps
from pages.session import common_cause, cyber
from pages.signoff import sign_off
from pages.ui import addresses, signing_in, state
from pages.ui.startup import lifespan
from pages.web import origin_checks, run_mode, streamlit_workarounds
from pages.web.security_headers import ENCRYPTED, SecurityHeaders

ICON = Path(__file__).parent / "pages" / "ui" / "icon.png"


def screens(reader: Person | None = None, *, closed: NotSignedIn | None = None) -> st.Page:
    """All screens in one flat list; returns the one of the address.

    The navigation lists those that the reader may use; the others state at their address which role they need. While
    sign-in is ``closed``, every address shows the sign-in screen and nothing is listed.
    """
    shown = {
        "plant": ("Plant", overview.page),
        "common-cause": ("Common-cause session", common_cause.page),
        "cyber": ("Cyber session", cyber.page),
        "prepare": ("Prepare", prepare.page),
        "redundancy": ("Redundancy left", redundancy_left.page),
        "zones": ("Zones and gaps", zones_and_gaps.page),
        "due": ("Due and open", due_and_open.page),
        "again": ("Re-assessment", reassessment.page),
        "changed": ("What changed", what_changed.page),
        "sign-off": ("Sign-off", sign_off.page),
    }
    pages = {
        address: st.Page(
            screen if closed is None else signing_in.page(closed),
            title=title,
            url_path=address,
            default=address == "plant",
            visibility="visible" if reader is None or screen.for_(reader) else "hidden",
        )
        for address, (title, screen) in shown.items()
    }
    addresses.know(pages)
    return st.navigation(list(pages.values()), position="top" if closed is None else "hidden")


def middleware() -> list[Middleware]:
    """Middleware for every request; raises CannotStart where the program must not start."""
    run_mode.check()
    if not run_mode.serving():
        return [Middleware(SecurityHeaders), Middleware(origin_checks.OneMachine)]
    return [
        Middleware(SecurityHeaders, more=ENCRYPTED),
        Middleware(origin_checks.Server, origin=run_mode.settled().origin),
    ]


if __name__ == "__main__":  # a run for one browser session
    st.set_page_config(page_title="Shared-Cause Review", page_icon=str(ICON), layout="wide")
    screens(state.person(), closed=signing_in.in_the_way()).run()
else:  # the server, once: register the screens before the first request, so that a shared link finds its screen
    logging.getLogger("streamlit.runtime.scriptrunner_utils.script_run_context").setLevel(logging.ERROR)
    try:
        request_middleware = middleware()
    except run_mode.CannotStart as error:
        raise SystemExit(f"Not started: {error}") from error
    streamlit_workarounds.presses()
    screens()
    app = st.App(__file__, lifespan=lifespan, middleware=request_middleware)
