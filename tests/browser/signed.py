"""A server with sign-in, its provider, and the traffic to one browser."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Error, Page, Response, WebSocket, expect

from checks.access import roles
from tests.browser.provider import CLIENT, SECRET, Login, Provider
from tests.browser.screens import SCREENS_LINKS, SECTION_LINKS, settle
from tests.browser.server import Server
from tests.browser.watch import watch_of

FRAN, MEI, TIA, RAI, ASA, OLE, VIC = (
    Login("s-fran", "fran@example.org", "Fran of the provider"),
    Login("s-mei", "mei@example.org", "Mei of the provider"),
    Login("s-tia", "tia@example.org", "Tia of the provider"),
    Login("s-rai", "rai@example.org", "Rai of the provider"),
    Login("s-asa", "asa@example.org", "Asa of the provider"),
    Login("s-ole", "ole@example.org", "Ole of the provider"),
    Login("s-vic", "vic@example.org", "Vic of the provider"),
)
STRANGER = Login("s-stranger", "stranger@example.org", "Sal Stranger")
NAMES = {
    login.subject: login.name.replace(" of the provider", " Listed") for login in (FRAN, MEI, TIA, RAI, ASA, OLE, VIC)
}
ROLES_OF = {
    FRAN.subject: (roles.FACILITATOR, roles.MEMBER),
    MEI.subject: (roles.MEMBER,),
    TIA.subject: (roles.MEMBER,),
    RAI.subject: (roles.REVIEWER,),
    ASA.subject: (roles.ASSESSOR,),
    OLE.subject: (roles.OWNER,),
    VIC.subject: (roles.VIEWER,),
}
TEAMS_OF = {TIA.subject: ["S50"]}
"""The systems of the teams of some people; the others belong to all teams."""
BY_SUBJECT = (MEI, OLE)
"""The others are listed by their e-mail address."""
SEEN_BY_ALL = ["Plant", "Redundancy left", "What if"]
SEEN_BY_MOST = [
    "Plant", "Common-cause session", "Cyber session", "Prepare", "Redundancy left", "What to fix first", "What if",
    "Zones and gaps", "Reach of a compromise", "What changed",
    "Due and open", "Re-assessment", "Sign-off",
]  # fmt: skip
SET_UP = (roles.FACILITATOR, roles.MEMBER, roles.OWNER)
"""Roles that set up a plant."""


def seen_by(login: Login) -> list[str]:
    """The screens that the navigation lists for a person."""
    if login is VIC:
        return SEEN_BY_ALL
    first, *others = SEEN_BY_MOST
    return [first, "Set up", "Bring a list", *others] if set(ROLES_OF[login.subject]) & set(SET_UP) else SEEN_BY_MOST


def list_of(*left_out: Login) -> str:
    """The text of the list of people, without those left out."""
    entries = []
    for login in (FRAN, MEI, TIA, RAI, ASA, OLE, VIC):
        known = {"subject": login.subject} if login in BY_SUBJECT else {"email": login.email.upper()}
        if login not in left_out:
            systems = {"systems": TEAMS_OF[login.subject]} if login.subject in TEAMS_OF else {}
            entries.append({**known, "name": NAMES[login.subject], "roles": list(ROLES_OF[login.subject]), **systems})
    return json.dumps({"format": 1, "people": entries}, indent=1)  # JSON is YAML too


def secrets(provider: Provider, port: int, **changes: str) -> str:
    """The text of the secrets that name the provider."""
    settings = {
        "redirect_uri": f"http://127.0.0.1:{port}/oauth2callback",
        "cookie_secret": "invented-" * 8,
        "client_id": CLIENT,
        "client_secret": SECRET,
        "server_metadata_url": f"{provider.url}/.well-known/openid-configuration",
        **changes,
    }
    return "[auth]\n" + "".join(f"{name} = {json.dumps(value)}\n" for name, value in settings.items() if value)


def server_with(provider: Provider, folder: Path, **variables: str) -> Server:
    """A server, not yet started, where the people on the list sign in at the provider."""
    server = Server(folder, **variables)
    (folder / "people.yaml").write_text(list_of(), encoding="utf-8")
    (folder / "secrets.toml").write_text(secrets(provider, server.port), encoding="utf-8")
    server.variables |= {
        "SHARED_CAUSE_MODE": "server",
        "SHARED_CAUSE_ROLES": str(folder / "people.yaml"),
        "STREAMLIT_SECRETS_FILES": str(folder / "secrets.toml"),
        "STATE_DIRECTORY": str(folder),
        **variables,
    }
    return server


def enter(page: Page, server: Server, provider: Provider, login: Login, path: str = "/") -> None:
    """Open an address without a sign-in, press Sign in, and return signed in."""
    page.goto(server.url + path)
    provider.login = login
    page.get_by_role("button", name="Sign in").click()


def head(page: Page, login: Login) -> Any:
    """The button at the top right with the name of the signed-in person."""
    return page.get_by_role("button", name=NAMES[login.subject])


def listed(page: Page) -> list[str]:
    """Names of the screens in the navigation, section by section."""
    found = []
    expect(page.locator(SECTION_LINKS).first).to_be_visible()
    for section in page.locator(SECTION_LINKS).all_inner_texts():
        page.locator(SECTION_LINKS).get_by_text(section, exact=True).click()
        expect(page.locator(f"{SECTION_LINKS} strong", has_text=section).first).to_be_visible()
        settle(page)
        found += page.locator(SCREENS_LINKS).all_inner_texts() or [page.title().split(" · ")[-2]]
    return [" ".join(name.split()) for name in found]


class Ears:
    """Keeps all data that the server sends to one page: frames of its sockets, and responses to its requests.

    A download is left out: the browser hands its body to a file and never to the page, so that to ask for it waits for ever.
    """

    def __init__(self, page: Page, server: Server) -> None:
        self.heard: list[bytes] = []
        self._server = server
        watch_of(page).bent = True
        page.on("websocket", self._on_socket)
        page.on("response", self._on_response)
        self._responses: list[Response] = []

    def _on_socket(self, socket: WebSocket) -> None:
        socket.on("framereceived", lambda sent: self.heard.append(sent.encode() if isinstance(sent, str) else sent))

    def _on_response(self, response: Response) -> None:
        ours = response.url.startswith(self._server.url) and "/static/" not in response.url
        if ours and not response.headers.get("content-disposition", "").startswith("attachment"):
            self._responses.append(response)

    def everything(self) -> bytes:
        """All data joined."""
        for response in self._responses:
            try:
                self.heard.append(response.body())
            except Error:  # a redirection has no body
                self.heard.append(str(response.headers).encode())
        self._responses.clear()
        return b"\n".join(self.heard)


@contextmanager
def running(server: Server) -> Iterator[Server]:
    """Run a server within a block."""
    server.start()
    try:
        yield server
    finally:
        server.stop()
