"""What is mended of Streamlit: without the mend these fail."""

from __future__ import annotations

from typing import Any

import pytest
import streamlit as st
from streamlit.proto.WidgetStates_pb2 import WidgetStates
from streamlit.runtime.state.safe_session_state import SafeSessionState
from streamlit.runtime.state.session_state import SessionState

from checks.journal.store import Store
from pages.web import streamlit_workarounds
from tests.pages.shown import Screen, fine


class Newer(Exception):
    """A newer request has come."""


def _give_way() -> None:
    raise Newer


def test_one_value_is_what_all_values_together_hold_of_it(store: Store, screen: Screen) -> None:
    """A value kept, a widget's by its key, a widget's that is not there: as Streamlit's own reading gives them."""
    seen: list[tuple[Any, Any]] = []

    def looked() -> None:
        every = st.session_state.to_dict()
        seen.extend((streamlit_workarounds.value(key), every[key]) for key in every)
        assert streamlit_workarounds.value("no such key", "none") == "none"

    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    assert store.plants()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pages.ui.frame._foot", looked)
        fine(at.run())
    assert len(seen) > 5
    assert all(one == other for one, other in seen)


def test_one_value_is_read_without_giving_way(monkeypatch: pytest.MonkeyPatch) -> None:
    inner = SessionState()
    inner["kept"] = 1
    held = SafeSessionState(inner, _give_way)
    monkeypatch.setattr(streamlit_workarounds, "get_session_state", lambda: held)
    with pytest.raises(Newer):
        held["kept"]
    assert streamlit_workarounds.value("kept") == 1


def test_a_run_calls_the_callbacks_it_was_asked_for_before_it_gives_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SafeSessionState, "on_script_will_rerun", SafeSessionState.on_script_will_rerun)
    held = SafeSessionState(SessionState(), _give_way)
    with pytest.raises(Newer):
        held.on_script_will_rerun(WidgetStates())
    streamlit_workarounds.presses()
    held.on_script_will_rerun(WidgetStates())
    with pytest.raises(Newer):
        held["anything"] = 1
