"""A browser session without a browser: the web socket of Streamlit's page, spoken by a program."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.sync.client import ClientConnection, connect

from tests.browser.server import HOST, Server

QUIET_AFTER = 3.0
"""Seconds without a frame after which a run has ended."""


class Session:
    """A session over a web socket; ``frames`` are the frames received so far."""

    def __init__(self, socket: ClientConnection) -> None:
        self._socket = socket
        self.frames: list[bytes] = []

    def ask(self, **request: Any) -> list[ForwardMsg]:
        """Send one request; returns the messages until there are no more."""
        self._socket.send(BackMsg(**request).SerializeToString())
        return self.heard()

    def heard(self) -> list[ForwardMsg]:
        """The messages until there are no more."""
        messages = []
        while True:
            try:
                frame = self._socket.recv(timeout=QUIET_AFTER, decode=False)
            except TimeoutError:
                return messages
            self.frames.append(frame)
            messages.append(ForwardMsg.FromString(frame))


@contextmanager
def session(server: Server, cookies: str = "") -> Iterator[Session]:
    """A session of somebody with these cookies, which has asked for the first screen."""
    headers = {"Cookie": cookies} if cookies else {}
    address = f"ws://{HOST}:{server.port}/_stcore/stream"
    with connect(address, origin=server.url, additional_headers=headers, max_size=None) as socket:  # type: ignore[arg-type]
        yield Session(socket)


def session_id(messages: list[ForwardMsg]) -> str:
    """The id of the session that got these messages."""
    return next(
        message.new_session.initialize.session_id for message in messages if message.WhichOneof("type") == "new_session"
    )


def xsrf(server: Server) -> str:
    """A token against requests of other sites, as the server gives one to anybody."""
    cookie = server.get("/_stcore/health").headers["set-cookie"]
    return str(cookie.partition(";")[0].partition("=")[2])


def send(server: Server, method: str, path: str, cookies: str = "", body: bytes = b"", **headers: str) -> Any:
    """The response to a request, its body read into ``text``."""
    connection = HTTPConnection(HOST, server.port, timeout=20)
    try:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request(
            method, path, body=body or None, headers={**({"Cookie": cookies} if cookies else {}), **named}
        )
        response: Any = connection.getresponse()
        response.text = response.read().decode("utf-8", errors="replace")
        return response
    finally:
        connection.close()


def upload(server: Server, to: str, file: bytes, cookies: str = "") -> Any:
    """The response to an upload for a session, with a valid token against requests of other sites."""
    token = xsrf(server)
    body = b'--x\r\nContent-Disposition: form-data; name="f"; filename="f.csv"\r\n\r\n' + file + b"\r\n--x--\r\n"
    return send(
        server,
        "PUT",
        f"/_stcore/upload_file/{to}",
        f"_streamlit_xsrf={token}; {cookies}",
        body,
        X_Xsrftoken=token,
        Content_Type="multipart/form-data; boundary=x",
    )
