"""The cookie that keeps a name: set once by a one-time token, unreadable to scripts, and never trusted."""

from __future__ import annotations

import asyncio
import base64
from http.cookies import SimpleCookie

import pytest
from starlette.requests import Request
from starlette.responses import Response

from checks.access.roles import FACILITATOR, OWNER
from pages.web import remembered
from pages.web.remembered import COOKIE, PATH, Who

ANNE = Who("Anne · é 漢 'x'", (FACILITATOR, OWNER))


def asked(query: str) -> Response:
    """The answer to a request of a browser for the picture."""
    scope = {
        "type": "http",
        "method": "GET",
        "scheme": "http",
        "server": ("127.0.0.1", 8501),
        "path": PATH,
        "headers": [],
    }
    answer: Response = asyncio.run(remembered.route.endpoint(Request({**scope, "query_string": query.encode()})))
    return answer


def kept(answer: Response) -> dict[str, str]:
    """The cookies that a browser keeps after an answer."""
    return {name: morsel.value for name, morsel in SimpleCookie(answer.headers["set-cookie"]).items()}


def test_a_token_sets_the_cookie_once() -> None:
    token = remembered.token(ANNE)
    assert remembered.is_waiting(token)
    answer = asked(f"t={token}")
    assert (answer.status_code, answer.body) == (204, b"")
    assert answer.headers["set-cookie"].endswith("; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict")
    assert answer.headers["cache-control"] == "no-store"
    assert remembered.read(kept(answer)) == ANNE
    assert not remembered.is_waiting(token)
    assert asked(f"t={token}").status_code == 404


@pytest.mark.parametrize("query", ["", "t=", "t=guessed", "name=Mallory"])
def test_nobody_sets_a_cookie_without_a_token(query: str) -> None:
    answer = asked(query)
    assert (answer.status_code, "set-cookie" in answer.headers) == (404, False)


def test_a_person_can_be_forgotten() -> None:
    answer = asked(f"t={remembered.token(None)}")
    assert answer.headers["set-cookie"].startswith(f"{COOKIE}=; Path=/; Max-Age=0;")


def test_tokens_that_nobody_uses_do_not_pile_up() -> None:
    first = remembered.token(ANNE)
    for _ in range(remembered.MOST_WAITING):
        last = remembered.token(ANNE)
    assert not remembered.is_waiting(first)
    assert remembered.is_waiting(last)


def _made_up(text: str) -> str:
    return base64.urlsafe_b64encode(text.encode()).decode()


@pytest.mark.parametrize(
    "value",
    ["", "x", "%%%", "é", _made_up("[]"), _made_up("null"), _made_up('{"name": "A"}'), _made_up('{"name": "a\\u0000b", "roles": []}'),
     _made_up('{"name": "a", "roles": 7}'), "=" * 4000],
)  # fmt: skip
def test_a_cookie_that_the_program_did_not_write_names_nobody(value: str) -> None:
    assert remembered.read({COOKIE: value}) is None


def test_a_made_up_cookie_names_no_role_that_does_not_exist_and_no_endless_name() -> None:
    who = remembered.read({COOKIE: _made_up('{"name": "' + "a" * 900 + '", "roles": ["god", "owner"]}')})
    assert who is not None
    assert (len(who.name), who.roles) == (remembered.LONGEST_NAME, (OWNER,))


def test_a_cookie_with_a_name_that_misleads_names_nobody() -> None:
    assert remembered.read({COOKIE: _made_up('{"name": "TM-1\\u200b", "roles": ["owner"]}')}) is None
