"""The workarounds for Streamlit bugs: without them these tests fail."""

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
    """A newer request has arrived."""


def _yield_to_newer() -> None:
    raise Newer


def test_one_value_equals_the_one_among_all_values(store: Store, screen: Screen) -> None:
    """A stored value, a widget's value by its key, and a missing widget's: as Streamlit itself reads them."""
    pairs: list[tuple[Any, Any]] = []

    def compare() -> None:
        values = st.session_state.to_dict()
        pairs.extend((streamlit_workarounds.value(key), values[key]) for key in values)
        assert streamlit_workarounds.value("no such key", "none") == "none"

    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    assert store.plants()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pages.ui.frame._foot", compare)
        fine(at.run())
    assert len(pairs) > 5
    assert all(ours == theirs for ours, theirs in pairs)


def test_one_value_is_read_without_yielding(monkeypatch: pytest.MonkeyPatch) -> None:
    inner = SessionState()
    inner["kept"] = 1
    session = SafeSessionState(inner, _yield_to_newer)
    monkeypatch.setattr(streamlit_workarounds, "get_session_state", lambda: session)
    with pytest.raises(Newer):
        session["kept"]
    assert streamlit_workarounds.value("kept") == 1


def test_a_run_calls_its_callbacks_before_it_yields(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SafeSessionState, "on_script_will_rerun", SafeSessionState.on_script_will_rerun)
    session = SafeSessionState(SessionState(), _yield_to_newer)
    with pytest.raises(Newer):
        session.on_script_will_rerun(WidgetStates())
    streamlit_workarounds.presses()
    session.on_script_will_rerun(WidgetStates())
    with pytest.raises(Newer):
        session["anything"] = 1
