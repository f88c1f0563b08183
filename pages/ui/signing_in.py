"""The screen before all others on a server, and at the head of each who is signed in."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import streamlit as st

from checks.access.roles import Person
from checks.access.sign_ins import NotSignedIn
from pages.presentation.wording import plain
from pages.ui import state
from pages.web import identity, run_mode
from pages.web.origin_checks import REFUSED

NOT_TAKEN = (
    "The sign-in did not succeed: the provider's answer was refused. Try again, or tell whoever runs this server."
)


def in_the_way() -> NotSignedIn | None:
    """Why the person at this browser is not let in; None where they are, which then counts as an action of theirs."""
    if not run_mode.serving():
        return None
    by_itself = state.take("by_itself")
    try:
        identity.person(identity.claims(), writer=state.writer())
        if not by_itself:
            identity.act(identity.claims())
    except NotSignedIn as why:
        return why
    return None


def page(why: NotSignedIn) -> Callable[[], None]:
    """The sign-in screen: nothing but why somebody is not let in, and the way in."""

    def draw() -> None:
        st.markdown("## Shared-Cause Review")
        if state.at(REFUSED) and not why.known:
            st.error(NOT_TAKEN)
        st.markdown(plain(str(why)))
        if why.known:
            out()
        elif st.button("Sign in", key="sign_in", type="primary"):
            st.login()

    return draw


def head(who: Person) -> None:
    """Say who is signed in and in which roles, with the way out."""
    with st.popover(plain(who.name), width="stretch"):
        st.markdown(f"Signed in as **{plain(who.name)}**")
        st.markdown(f"Roles: {', '.join(sorted(who.roles))}")
        if who.systems is not None:
            st.markdown(f"In the team of: {plain(', '.join(sorted(who.systems)))}")
        st.caption("Name and roles come from the list of whoever runs this server. They stand with everything you do.")
        out()


def out() -> None:
    """The button that ends the sign-in in every window and at the provider."""
    if st.button("Sign out", key="sign_out"):
        with suppress(NotSignedIn):  # it has ended already
            identity.end(identity.claims())
        st.logout()
        st.stop()
