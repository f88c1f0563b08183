"""Host and origin checks, tested with an application that gives a fixed answer."""

from __future__ import annotations

import asyncio
from typing import Any
from urllib.parse import quote

import pytest

from pages.web.origin_checks import OneMachine, Server

ORIGIN = "https://review.example.org"
HTML = (b"content-type", b"text/html; charset=utf-8")
SIGNED = (b"set-cookie", b'_streamlit_user="x"; HttpOnly; Max-Age=2592000; Path=/; SameSite=lax')
Headers = list[tuple[str, str]]


def _sent(middleware: Any, scope: dict[str, Any]) -> list[dict[str, Any]]:
    sent: list[dict[str, Any]] = []

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    async def receive() -> dict[str, Any]:
        return {}

    asyncio.run(middleware(scope, receive, send))
    return sent


def _answering(status: int, *headers: tuple[bytes, bytes]) -> Any:
    async def app(_scope: Any, _receive: Any, send: Any) -> None:
        await send({"type": "http.response.start", "status": status, "headers": list(headers)})

    return app


def _scope(path: str, *, query: str = "", **headers: str) -> dict[str, Any]:
    return {
        "type": "http", "method": "GET", "path": path, "raw_path": path.encode(), "query_string": query.encode(),
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()], "server": ("127.0.0.1", 1),
    }  # fmt: skip


def _answer(app: Any, scope: dict[str, Any], *, signed_in: bool = False) -> tuple[int, Headers]:
    (start, *_) = _sent(Server(app, ORIGIN, lambda _: signed_in), scope)
    return start["status"], [(name.decode(), value.decode()) for name, value in start["headers"]]


def _back(wanted: str, *headers: tuple[bytes, bytes], query: str = "code=1&state=2") -> str:
    app = _answering(302, (b"location", b"/"), *headers)
    _, headers_sent = _answer(
        app, _scope("/oauth2callback", query=query, cookie=f"a=b; shared_cause_wanted={quote(wanted, safe='')}")
    )
    (cookie,) = [
        value for name, value in headers_sent if name == "set-cookie" and value.startswith("shared_cause_wanted")
    ]
    assert "Max-Age=0" in cookie, "it is deleted once used"
    return dict(headers_sent)["location"]


def test_the_requested_page_is_opened_after_the_sign_in() -> None:
    _, headers = _answer(_answering(200, HTML), _scope("/zones", query="zone=Z5&x=%20y"))
    (cookie,) = [value for name, value in headers if name == "set-cookie"]
    assert cookie.startswith("shared_cause_wanted=%2Fzones%3Fzone%3DZ5%26x%3D%2520y; Path=/; Max-Age=900; HttpOnly")
    assert _back("/zones?zone=Z5&x=%20y", SIGNED) == "/zones?zone=Z5&x=%20y"


@pytest.mark.parametrize(
    "wanted",
    ["//evil.example.org", "/\\evil.example.org", "https://evil.example.org", "evil", "", "/a b", "/a\r\nset-cookie: x=y",
     "\t//evil.example.org", "/\t/evil.example.org", "javascript:alert(1)", "/ä"],
)  # fmt: skip
def test_a_forged_cookie_leads_only_to_the_start_page(wanted: str) -> None:
    assert _back(wanted, SIGNED) == "/"


def test_a_failed_sign_in_leads_to_a_screen_that_says_so() -> None:
    gone = (b"set-cookie", b'_streamlit_user=""; Max-Age=0; Path=/')
    assert _back("/zones") == "/?refused=1"
    assert _back("/zones", gone) == "/?refused=1"
    assert _back("/zones", query="error=access_denied&state=2") == "/?refused=1"
    assert _back("/zones", query="") == "/", "the redirect after signing out"


def test_cookies_are_secure_and_a_sign_in_ends_with_the_window() -> None:
    plain = (b"set-cookie", b"_streamlit_xsrf=1; Path=/; SameSite=Lax")
    once = (b"set-cookie", b"a=1; Secure")
    gone = (b"set-cookie", b'_streamlit_user=""; expires=Thu, 01 Jan 1970 00:00:00 GMT; Max-Age=0; Path=/')
    _, headers = _answer(_answering(204, plain, once, SIGNED, gone), _scope("/x"))
    assert [value for _, value in headers] == [
        "_streamlit_xsrf=1; Path=/; SameSite=Lax; Secure",
        "a=1; Secure",
        '_streamlit_user="x"; HttpOnly; Path=/; SameSite=lax; Secure',
        '_streamlit_user=""; expires=Thu, 01 Jan 1970 00:00:00 GMT; Max-Age=0; Path=/; Secure',
    ]


@pytest.mark.parametrize("path", ["/_stcore/metrics", "/_stcore/metrics/", "/below/_stcore/metrics"])
def test_the_metrics_of_a_server_are_not_served_below_a_path_either(path: str) -> None:
    assert _answer(_answering(200), _scope(path))[0] == 404


@pytest.mark.parametrize("path", ["/auth/logout", "/auth/logout/", "/below/auth/logout"])
def test_a_sign_in_that_is_valid_is_not_removed_by_a_request(path: str) -> None:
    assert _answer(_answering(302), _scope(path), signed_in=True)[0] == 403
    assert _answer(_answering(302), _scope(path), signed_in=False)[0] == 302


@pytest.mark.parametrize("listening", ["0.0.0.0", "192.0.2.1", "::", "/run/a.sock", None])  # noqa: S104
def test_without_sign_in_nothing_is_answered_on_another_address(
    listening: str | None,
) -> None:
    scope = _scope("/", host="127.0.0.1:8501")
    scope["server"] = (listening, 8501) if listening else None
    (start, body) = _sent(OneMachine(_answering(200, HTML)), scope)
    assert start["status"] == 403
    assert body["body"] == b"This program answers on its own machine only.\n"
    scope["server"] = ("127.0.0.1", 8501)
    assert _sent(OneMachine(_answering(200, HTML)), scope)[0]["status"] == 200


def test_lifespan_messages_pass_both_middlewares() -> None:
    for middleware in (OneMachine(_answering(200)), Server(_answering(200), ORIGIN, lambda _: True)):
        assert _sent(middleware, {"type": "lifespan"})
