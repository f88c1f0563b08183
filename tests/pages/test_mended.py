"""What is mended of Streamlit: without the mend these fail."""

from __future__ import annotations

import pytest
from streamlit.proto.WidgetStates_pb2 import WidgetStates
from streamlit.runtime.state.safe_session_state import SafeSessionState
from streamlit.runtime.state.session_state import SessionState

from pages.shared import mended


class Newer(Exception):
    """A newer request has come."""


def _give_way() -> None:
    raise Newer


def test_a_run_calls_the_callbacks_it_was_asked_for_before_it_gives_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SafeSessionState, "on_script_will_rerun", SafeSessionState.on_script_will_rerun)
    held = SafeSessionState(SessionState(), _give_way)
    with pytest.raises(Newer):
        held.on_script_will_rerun(WidgetStates())
    mended.presses()
    held.on_script_will_rerun(WidgetStates())
    with pytest.raises(Newer):
        held["anything"] = 1
