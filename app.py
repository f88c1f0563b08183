"""Entry point: page settings, navigation and server. No logic here."""

import logging
from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from checks.access.sign_ins import NotSignedIn
from pages.fix_first import fix_first
from pages.plant import list_import, overview, set_up, start
from pages.preparation import prepare
from pages.reassessment import due_and_open, reassessment
from pages.results import compromise_reach, redundancy_left, what_changed, zones_and_gaps
from pages.session import common_cause, cyber
from pages.signoff import sign_off
from pages.ui import addresses, head, signing_in, state
from pages.ui.addresses import Entry
from pages.ui.frame import Screen, WithoutPlant
from pages.ui.startup import lifespan
from pages.variants import what_if
from pages.web import (
    closed_requests,
    file_transfers,
    identity,
    origin_checks,
    remembered,
    run_mode,
    streamlit_workarounds,
    typed_texts,
)
from pages.web.security_headers import ENCRYPTED, SecurityHeaders

ICON = Path(__file__).parent / "pages" / "ui" / "icon.png"


# Section of the navigation, title, and what draws it. No docstring: Streamlit would show it.
SCREENS: dict[str, tuple[str, str, Screen | WithoutPlant]] = {
    "plant": ("Plant", "Plant", overview.page),
    "set-up": ("Plant", "Set up", set_up.page),
    "bring": ("Plant", "Bring a list", list_import.page),
    "common-cause": ("Answer", "Common-cause session", common_cause.page),
    "cyber": ("Answer", "Cyber session", cyber.page),
    "prepare": ("Answer", "Prepare", prepare.page),
    "redundancy": ("Results", "Redundancy left", redundancy_left.page),
    "fix": ("Results", "What to fix first", fix_first.page),
    "what-if": ("Results", "What if", what_if.page),
    "zones": ("Results", "Zones and gaps", zones_and_gaps.page),
    "reach": ("Results", "Reach of a compromise", compromise_reach.page),
    "changed": ("Results", "What changed", what_changed.page),
    "due": ("Review", "Due and open", due_and_open.page),
    "again": ("Review", "Re-assessment", reassessment.page),
    "sign-off": ("Review", "Sign-off", sign_off.page),
    "start": ("", "Begin", start.page),
}


def screens(*, closed: NotSignedIn | None = None) -> st.Page:
    """Register all screens; returns the one of the address.

    The head of each screen lists those that the reader may use; the others state at their address which role they need.
    While sign-in is ``closed``, every address shows the sign-in screen.
    """
    pages = {
        address: st.Page(
            screen if closed is None else signing_in.page(closed),
            title=title,
            url_path=address,
            default=address == "plant",
        )
        for address, (_section, title, screen) in SCREENS.items()
    }
    addresses.know(
        {
            address: Entry(section, title, pages[address], screen)
            for address, (section, title, screen) in SCREENS.items()
        }
    )
    return st.navigation(list(pages.values()), position="hidden")


def run() -> None:
    """One run for one browser session."""
    closed = signing_in.in_the_way()
    page = screens(closed=closed)
    address = page.url_path or "plant"
    state.arrive(address)
    title = head.PRODUCT if closed else head.title(address)
    state.put("title", title)
    st.set_page_config(page_title=title, page_icon=str(ICON), layout="wide")
    page.run()


def plant_address(request: Request) -> Response:
    """The Plant screen, which is the first one, at an address of its own too."""
    return RedirectResponse(f"/?{request.url.query}" if request.url.query else "/")


def middleware() -> list[Middleware]:
    """Middleware for every request; raises CannotStart where the program must not start."""
    run_mode.check()
    may: file_transfers.May = file_transfers.anybody
    if run_mode.serving():
        may = identity.signed_in
        first = [
            Middleware(SecurityHeaders, more=ENCRYPTED),
            Middleware(origin_checks.Server, origin=run_mode.settled().origin, signed_in=identity.still_valid),
        ]
    else:
        first = [Middleware(SecurityHeaders), Middleware(origin_checks.OneMachine)]
    return [*first, Middleware(file_transfers.Uploads, may=may), Middleware(file_transfers.Downloads, may=may)]


if __name__ == "__main__":  # a run for one browser session
    run()
else:  # the server, once: register the screens before the first request, so that a shared link finds its screen
    logging.getLogger("streamlit.runtime.scriptrunner_utils.script_run_context").setLevel(logging.ERROR)
    try:
        request_middleware = middleware()
    except run_mode.CannotStart as error:
        raise SystemExit(f"Not started: {error}") from error
    streamlit_workarounds.presses()
    closed_requests.close()
    screens()
    routes = [remembered.route, typed_texts.route, Route("/plant", plant_address)]
    app = st.App(__file__, lifespan=lifespan, middleware=request_middleware, routes=routes)
