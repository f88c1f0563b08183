"""The methods of Streamlit that are replaced exist, and are called as ours expect."""

from __future__ import annotations

import inspect
from typing import Any

import pytest
from streamlit.runtime.app_session import AppSession
from streamlit.runtime.backend_operation_handler import DismissSkillsNudgeHandler, InstallSkillsHandler
from streamlit.runtime.state.safe_session_state import SafeSessionState
from streamlit.runtime.state.session_state import SessionState
from streamlit.web.server.starlette import starlette_websocket

REPLACED: list[tuple[Any, str, list[str]]] = [
    (InstallSkillsHandler, "handle", ["self", "request", "session_id"]),
    (DismissSkillsNudgeHandler, "handle", ["self", "request", "session_id"]),
    (AppSession, "_handle_git_information_request", ["self"]),
    (AppSession, "_handle_clear_cache_request", ["self"]),
    (AppSession, "_create_new_session_message", ["self", "page_script_hash", "run_descriptor", "pages"]),
    (starlette_websocket, "_get_signed_cookie_with_chunks", ["cookies", "cookie_name"]),
    (starlette_websocket, "_parse_decoded_user_cookie", ["decoded_cookie", "origin"]),
]


@pytest.mark.parametrize(("owner", "name", "parameters"), REPLACED)
def test_what_is_replaced_or_called_of_streamlit_takes_what_it_took(
    owner: Any, name: str, parameters: list[str]
) -> None:
    assert list(inspect.signature(getattr(owner, name)).parameters) == parameters


def test_the_replaced_begin_of_a_run_hands_on_what_it_is_given() -> None:
    replaced, called = (inspect.signature(kind.on_script_will_rerun) for kind in (SafeSessionState, SessionState))
    assert list(replaced.parameters) == list(called.parameters)
