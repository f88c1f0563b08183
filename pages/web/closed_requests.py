"""Requests of Streamlit's own page that this program does not answer, and what a frame does not say about the machine.

They come over the web socket of any browser, signed in or not: one would write into the folder of the program (the offer of a
helper to install), one would name its version-controlled files, one would empty the caches of everybody.
"""

from __future__ import annotations

import functools
from pathlib import PurePath
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackendOperationRequest
from streamlit.proto.ForwardMsg_pb2 import BackendOperationResponse, ForwardMsg
from streamlit.runtime.app_session import AppSession
from streamlit.runtime.backend_operation_handler import DismissSkillsNudgeHandler, InstallSkillsHandler

REFUSED = "This program does not do that."


def close() -> None:
    """Close them for this process."""
    for handler in (InstallSkillsHandler, DismissSkillsNudgeHandler):
        handler.handle = _refuse  # type: ignore[method-assign, assignment]
    for request in ("_handle_git_information_request", "_handle_clear_cache_request"):
        setattr(AppSession, request, _ignore)
    message = AppSession._create_new_session_message  # noqa: SLF001
    if not hasattr(message, "__wrapped__"):
        AppSession._create_new_session_message = _without_path(message)  # type: ignore[method-assign]  # noqa: SLF001


async def _refuse(_handler: Any, request: BackendOperationRequest, session_id: str) -> BackendOperationResponse:  # noqa: ARG001
    return BackendOperationResponse(request_id=request.request_id, error_msg=REFUSED, error_reason="refused:closed")


def _ignore(_session: AppSession) -> None:
    pass


def _without_path(message: Any) -> Any:
    """The first message of each run, with the name of the script in place of where it lies."""

    @functools.wraps(message)
    def shortened(*arguments: Any, **keywords: Any) -> ForwardMsg:
        first: ForwardMsg = message(*arguments, **keywords)
        first.new_session.main_script_path = PurePath(first.new_session.main_script_path).name
        return first

    return shortened
