"""Sign-in on a server: the sign-in screen, and the signed-in person at the head of every screen."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import streamlit as st

from checks.access.roles import Person
from checks.access.sign_ins import NotSignedIn
from pages.presentation.wording import escaped
from pages.ui import state
from pages.web import identity, run_mode
from pages.web.cookies import REFUSED

NOT_TAKEN = (
    "Sign-in failed: the answer of the identity provider was rejected. Try again, or tell the server administrator."
)


def in_the_way() -> NotSignedIn | None:
    """Why the person at this browser is not signed in; None if they are, and this run then counts as activity."""
    if not run_mode.serving():
        return None
    automatic = state.take("by_itself")
    try:
        identity.person(identity.claims(), writer=state.writer())
        if not automatic:
            identity.act(identity.claims())
    except NotSignedIn as why:
        return why
    return None


def page(why: NotSignedIn) -> Callable[[], None]:
    """The sign-in screen: only the reason why somebody is not signed in, and the button to sign in or out."""

    def draw() -> None:
        st.markdown("## Shared-Cause Review")
        if state.at(REFUSED) and not why.known:
            st.error(NOT_TAKEN)
        st.markdown(escaped(str(why)))
        if why.known:
            out()
        elif st.button("Sign in", key="sign_in", type="primary"):
            st.login()

    return draw


def head(person: Person) -> None:
    """Draw the signed-in person's name and roles, and the sign-out button."""
    with st.popover(escaped(person.name)):
        st.markdown(f"Signed in as **{escaped(person.name)}**")
        st.markdown(f"Roles: {', '.join(sorted(person.roles))}")
        if person.systems is not None:
            st.markdown(f"Team member for: {escaped(', '.join(sorted(person.systems)))}")
        st.caption(
            "Name and roles come from the server administrator's list. They are stored with everything you record."
        )
        out()


def out() -> None:
    """Draw the button that ends the sign-in in every window and at the provider."""
    if st.button("Sign out", key="sign_out"):
        with suppress(NotSignedIn):  # it has ended already
            identity.end(identity.claims())
        st.logout()
        st.stop()
