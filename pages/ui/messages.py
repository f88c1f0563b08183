"""Messages on the screens, the refusals of an action, and the box for a name where one is missing."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from checks.access.name_entry import all_faults
from checks.access.roles import NoName, NotAllowed
from checks.journal.errors import Overtaken, StoreUnavailable
from checks.recording.plant_setup import DataChangedMeanwhile, NothingToUndo
from checks.signoff.revisions import NothingNew, NotUnderReview
from checks.signoff.sign_off import NotSigned
from checks.signoff.signatures import KeyRefused
from checks.text.faults import Refused
from pages.presentation.wording import escaped
from pages.ui import state

EXPECTED = (
    Refused,
    NotAllowed,
    KeyRefused,
    NotSigned,
    NothingNew,
    NotUnderReview,
    Overtaken,
    DataChangedMeanwhile,
    NothingToUndo,
)
"""Refusals of an action; each says why, and what to do."""
NAME_HELP = "Self-declared: there is no sign-in here. It is stored with everything you record."
STANDS = "message that stands"
"""Session key of the message that the last run showed."""
UNNAMED = "unnamed"
"""Session key of the action that waits for a name: its place on the screen, what it is in words, and how to repeat it."""


def say(kind: str, text: str, place: str = "") -> None:
    """Keep a message for the next run, to be shown at a place on the screen, or at its top."""
    state.put("said", (kind, text, place))


def answered(place: str = "") -> None:
    """Show what is kept for this place; the top, drawn last, shows that of a place that was not drawn."""
    _name_box(place)
    message = state.get("said")
    if message is None or (place and message[2] != place):
        return
    kind, text, _ = message
    lines = "\n\n".join(escaped(line) for line in text.splitlines())
    {"error": st.error, "success": st.success, "warning": st.warning}[kind](lines)
    state.take("said")  # after drawing: a run that is interrupted leaves the message to the next
    state.put(STANDS, message)


def begin() -> None:
    """Begin a run of a screen: what was said before has been read, unless the screen is drawn again by itself."""
    state.take(STANDS)


def say_again() -> None:
    """Keep the message that stands on the screen for a run that no press of the reader begins."""
    if state.get("said") is None and (message := state.take(STANDS)) is not None:
        state.put("said", message)


def attempt(deed: Callable[[], object], done: str, place: str = "", again: Callable[[], object] | None = None) -> bool:
    """Run an action that may be refused, and keep a message on its outcome for a place; returns whether it was done.

    The action checks the person again: the sign-in may have ended since its button was drawn. Where the person has no
    name, ``again``, or the same attempt, is repeated once they gave one.
    """
    try:
        deed()
    except Refused as refused:
        say("error", "\n".join(map(str, refused.faults)), place)
    except NoName as error:
        ask_name(str(error), again or (lambda: attempt(deed, done, place)), place)
    except EXPECTED as error:
        say("error", str(error), place)
    except StoreUnavailable as error:
        say("error", f"Not stored: {error}", place)
    else:
        say("success", done, place)
        return True
    return False


def ask_name(text: str, again: Callable[[], object], place: str = "") -> None:
    """Ask for a name at a place on the screen, with a text that says why; ``again`` repeats what needed it."""
    state.put(UNNAMED, (text, again, place))
    state.put("name box drawn", value=False)


def has_name(text: str, place: str) -> bool:
    """Whether the person has a name; where not, ask for it at this place, with a text that says why."""
    if state.person().name:
        return True
    ask_name(text, lambda: None, place)
    answered(place)
    return False


def _name_box(place: str) -> None:
    waiting = state.get(UNNAMED)
    if waiting is None or (waiting[2] != place if place else state.get("name box drawn")):
        if waiting is None or not place:  # another place does not know whether its own place drew it
            state.put("name box drawn", value=False)
        return
    with st.container(border=True, key="name_wanted"):
        st.markdown(escaped(f"{waiting[0]}."))
        st.text_input("Your name", key="name_box", max_chars=200, help=NAME_HELP, on_change=_named)
        st.button("Store", key="name_given", type="primary", on_click=_named)
        st.caption(f"You act as {', '.join(state.roles()) or 'nobody'}. Change it at the top right.")
    state.put("name box drawn", value=bool(place))


def _named() -> None:
    """Callback of the box: introduce the person."""
    name = str(state.get("name_box", "")).strip()
    if name:
        introduce(name=name)


def introduce(**fields: object) -> None:
    """Change the name or the roles of the person at this browser, and repeat what waited for a name.

    A name that misleads is refused with the reason, and what was there before stays.
    """
    wrong = all_faults([("Your name", str(fields.get("name", "")))])
    if wrong:
        say("error", "\n".join(map(str, wrong)), (state.get(UNNAMED) or ("", None, ""))[2])
        return
    state.introduce(**fields)
    if state.who() and (waiting := state.take(UNNAMED)) is not None:
        waiting[1]()
