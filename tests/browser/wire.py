"""The line between a browser and the server, bent so that a rare moment comes every time."""

from __future__ import annotations

from playwright.sync_api import Page, WebSocketRoute
from streamlit.proto.BackMsg_pb2 import BackMsg

STREAM = "**/_stcore/stream"


def _looks_for_news(sent: str | bytes) -> bool:
    return isinstance(sent, bytes) and BackMsg.FromString(sent).rerun_script.is_auto_rerun


def without_news(page: Page) -> None:
    """Hold back the browser's looks for news, so that it keeps showing what it shows; what a person does goes out."""

    def pass_on(route: WebSocketRoute) -> None:
        server = route.connect_to_server()
        route.on_message(lambda sent: None if _looks_for_news(sent) else server.send(sent))

    page.route_web_socket(STREAM, pass_on)
