"""Messages on the screens, and the refusals of an action."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from checks.access.roles import NotAllowed
from checks.journal.errors import Overtaken, StoreUnavailable
from checks.signoff.revisions import NothingNew, NotUnderReview
from checks.signoff.sign_off import NotSigned
from checks.signoff.signatures import KeyRefused
from checks.text.faults import Refused
from pages.presentation.wording import escaped
from pages.ui import state

EXPECTED = (Refused, NotAllowed, KeyRefused, NotSigned, NothingNew, NotUnderReview, Overtaken)
"""Refusals of an action; each says why, and what to do."""


def say(kind: str, text: str, place: str = "") -> None:
    """Keep a message for the next run, to be shown at a place on the screen, or at its top."""
    state.put("said", (kind, text, place))


def answered(place: str = "") -> None:
    """Show the message kept for this place; the top, drawn last, shows a message whose place was not drawn."""
    message = state.get("said")
    if message is None or (place and message[2] != place):
        return
    kind, text, _ = message
    lines = "\n\n".join(escaped(line) for line in text.splitlines())
    {"error": st.error, "success": st.success, "warning": st.warning}[kind](lines)
    state.take("said")  # after drawing: a run that is interrupted leaves the message to the next


def attempt(deed: Callable[[], object], done: str, place: str = "") -> bool:
    """Run an action that may be refused, and keep a message on its outcome for a place; returns whether it was done.

    The action checks the person again: the sign-in may have ended since its button was drawn.
    """
    try:
        deed()
    except Refused as refused:
        say("error", "\n".join(map(str, refused.faults)), place)
    except EXPECTED as error:
        say("error", str(error), place)
    except StoreUnavailable as error:
        say("error", f"Not stored: {error}", place)
    else:
        say("success", done, place)
        return True
    return False
