"""Workarounds for Streamlit bugs, applied at start-up.

Tested with the Streamlit version in requirements.txt; test again before changing that version.
"""

from __future__ import annotations

from typing import Any

from streamlit.runtime.state import get_session_state
from streamlit.runtime.state.safe_session_state import SafeSessionState


def presses() -> None:
    """Make a run call the callbacks of its own request before it yields to a newer one.

    Streamlit checks for a newer request between accepting one and calling its callbacks, and then drops the accepted
    one: of two presses that a stalled connection delivers together the first is lost. It checks again right after the
    callbacks.
    """
    SafeSessionState.on_script_will_rerun = _begin  # type: ignore[method-assign, assignment]


def _begin(session: SafeSessionState, *arguments: Any, **keywords: Any) -> None:
    with session._lock:  # noqa: SLF001  (as in the method that this replaces)
        session._state.on_script_will_rerun(*arguments, **keywords)  # noqa: SLF001


def value(key: str, default: Any = None) -> Any:
    """One value of this browser session, read without yielding to a newer request.

    Streamlit's own way to read without yielding builds a copy of all values each time; for some eighty questions that
    took a sixth of the time of a run.
    """
    session = get_session_state()
    with session._lock:  # noqa: SLF001
        try:
            return session._state[key]  # noqa: SLF001
        except KeyError:
            return default
