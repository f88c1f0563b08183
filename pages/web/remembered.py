"""The name and roles of a person, kept by their browser in a cookie. It authenticates nobody: names are self-declared.

Streamlit cannot set a cookie, so a screen shows an empty picture whose address holds a one-time token; the answer to its
request sets the cookie. Scripts of a page cannot read it, and other sites do not get it.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Mapping
from dataclasses import dataclass
from secrets import token_urlsafe
from urllib.parse import parse_qsl

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from checks.access.name_entry import name_faults
from checks.access.roles import ROLES, TEAM

COOKIE = "shared_cause_who"
PATH = "/remember"
LASTS = 365 * 24 * 3600
"""Life of the cookie [s]."""
MOST_WAITING = 1000
"""Tokens kept for browsers that have not asked yet; the oldest are dropped."""
LONGEST_NAME = 200

_WAITING: dict[str, str] = {}
"""The cookie to set, by one-time token."""


@dataclass(frozen=True, slots=True)
class Who:
    """A self-declared name and the roles acted in."""

    name: str
    roles: tuple[str, ...]


STRANGER = Who("", TEAM)
"""A person who has not said who they are."""


def read(cookies: Mapping[str, str]) -> Who | None:
    """The person that the cookies of a browser name; None without a readable one.

    >>> read({COOKIE: written(Who("TM-1", ("team member",)))})
    Who(name='TM-1', roles=('team member',))
    >>> read({COOKIE: "anything else"})
    """
    try:
        kept = json.loads(base64.urlsafe_b64decode(cookies.get(COOKIE, "")))
        name, roles = str(kept["name"]).strip()[:LONGEST_NAME], [role for role in ROLES if role in kept["roles"]]
    except (ValueError, LookupError, TypeError):
        return None
    return None if name and name_faults("name", name) else Who(name, tuple(roles))


def written(who: Who) -> str:
    """The value of the cookie for a person."""
    return base64.urlsafe_b64encode(json.dumps({"name": who.name, "roles": who.roles}).encode()).decode()


def token(who: Who | None) -> str:
    """A one-time token with which a browser gets the cookie for a person; for None the cookie is removed."""
    value, life = ("", 0) if who is None else (written(who), LASTS)
    while len(_WAITING) >= MOST_WAITING:
        _WAITING.pop(next(iter(_WAITING)), None)
    new = token_urlsafe(16)
    _WAITING[new] = f"{COOKIE}={value}; Path=/; Max-Age={life}; HttpOnly; SameSite=Strict"
    return new


def is_waiting(given: str) -> bool:
    """Whether a browser has yet to use this token."""
    return given in _WAITING


async def _remember(request: Request) -> Response:
    cookie = _WAITING.pop(dict(parse_qsl(request.url.query)).get("t", ""), None)
    if cookie is None:
        return Response(status_code=404)
    return Response(status_code=204, headers={"set-cookie": cookie, "cache-control": "no-store"})


route = Route(PATH, _remember)
"""The route of the server that sets the cookie."""
