"""What Streamlit does wrong and no screen can go round, mended before the first browser comes.

Tried with the Streamlit that requirements.txt names; another version is tried again before it is let in.
"""

from __future__ import annotations

from typing import Any

from streamlit.runtime.state import get_session_state
from streamlit.runtime.state.safe_session_state import SafeSessionState


def presses() -> None:
    """Let a run that begins do what was pressed, whatever was pressed since.

    Streamlit looks for a newer request between taking one and calling its callbacks, and forgets the one that it took:
    of two presses that a stalled line delivers together the first is lost. It looks again right after the callbacks.
    """
    SafeSessionState.on_script_will_rerun = _begin  # type: ignore[method-assign, assignment]


def _begin(held: SafeSessionState, *asked: Any, **more: Any) -> None:
    with held._lock:  # noqa: SLF001  (as the method that it stands for does)
        held._state.on_script_will_rerun(*asked, **more)  # noqa: SLF001


def value(key: str, default: Any = None) -> Any:
    """One value of this browser session, read without giving way to a newer request.

    Streamlit reads without giving way only all values together, and puts every one of them together each time: read so
    for each of some eighty questions, that was a sixth of the time of a run.
    """
    held = get_session_state()
    with held._lock:  # noqa: SLF001
        try:
            return held._state[key]  # noqa: SLF001
        except KeyError:
            return default
