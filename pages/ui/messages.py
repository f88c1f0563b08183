"""Messages on the screens, and what a deed was refused with."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from checks.access.roles import NotAllowed
from checks.journal.conflicts import Overtaken
from checks.journal.errors import StoreUnavailable
from checks.signoff.revisions import NothingNew, NotUnderReview
from checks.signoff.sign_off import NotSigned
from checks.signoff.signatures import KeyRefused
from checks.text.faults import Refused
from pages.presentation.wording import plain
from pages.ui import state

EXPECTED = (Refused, NotAllowed, KeyRefused, NotSigned, NothingNew, NotUnderReview, Overtaken)
"""What a deed may be refused with; each says why, and what to do."""


def say(kind: str, text: str, place: str = "") -> None:
    """Keep a message for the next run: for a place on the screen, else for its top."""
    state.put("said", (kind, text, place))


def answered(place: str = "") -> None:
    """Show the message that was kept for this place; at the top, which comes last, any that found no place."""
    said = state.get("said")
    if said is None or (place and said[2] != place):
        return
    kind, text, _ = said
    lines = "\n\n".join(plain(line) for line in text.splitlines())
    {"error": st.error, "success": st.success, "warning": st.warning}[kind](lines)
    state.take("said")  # only now: a run that ends while it draws leaves the message to the next


def attempt(deed: Callable[[], object], done: str, place: str = "") -> bool:
    """Do something that the records may refuse, and say at a place what came of it; whether it was done.

    The deed asks anew who is here: the sign-in may have ended since its button was drawn.
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
