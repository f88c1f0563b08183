"""What a server answers to requests of somebody who has not signed in, and to requests that another site sent."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.provider import Provider
from tests.browser.screens import settle
from tests.browser.server import ROOT, Server
from tests.browser.signed import FRAN, enter, head, running, server_with
from tests.browser.sockets import send, session, session_id, upload
from tests.browser.watch import watch_of

LIST = {"name": "devices.csv", "mimeType": "text/csv", "buffer": b"id,name\nPT-9,Transmitter\n"}


@pytest.fixture(scope="module")
def server(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with sign-in."""
    with running(server_with(provider, tmp_path_factory.mktemp("strangers"))) as server:
        yield server


def _cookies(page: Page) -> str:
    kept = page.context.cookies()
    return "; ".join(f"{cookie['name']}={cookie['value']}" for cookie in kept if cookie["name"] != "_streamlit_xsrf")


def test_an_upload_needs_a_valid_sign_in(server: Server, provider: Provider, page: Page) -> None:
    with session(server) as stranger:
        own = session_id(stranger.ask(rerun_script={}))
        assert upload(server, f"{own}/1", b"a,b\n").status == 403
    enter(page, server, provider, FRAN, "/bring")
    settle(page)
    with page.expect_response(re.compile("/_stcore/upload_file/")) as answer:
        page.locator("input[type=file]").set_input_files(LIST)  # type: ignore[arg-type]
    assert answer.value.status == 204
    to = answer.value.url.partition("/_stcore/upload_file/")[2]
    assert upload(server, to, b"a,b\n", _cookies(page)).status == 204
    assert upload(server, to, b"a,b\n").status == 403
    assert upload(server, to, b"a,b\n", "_streamlit_user=made.up").status == 403
    assert send(server, "DELETE", f"/_stcore/upload_file/{to}").status == 403
    page.get_by_role("button", name="Put this list away").click()
    kept = _cookies(page)
    head(page, FRAN).click()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    assert upload(server, to, b"a,b\n", kept).status == 403, "after signing out neither"


def test_a_download_needs_a_valid_sign_in_and_is_stored_nowhere(server: Server, provider: Provider, page: Page) -> None:
    enter(page, server, provider, FRAN, "/zones?zone=Z5")
    settle(page)
    with page.expect_download() as handed:
        page.get_by_role("button", name="Download these gaps (CSV)").click()
    path = handed.value.url.removeprefix(server.url)
    signed = send(server, "GET", path, _cookies(page))
    assert (signed.status, signed.headers["cache-control"]) == (200, "no-store")
    assert "zone" in signed.text
    for cookies in ("", "_streamlit_user=made.up"):
        refused = send(server, "GET", path, cookies)
        assert (refused.status, refused.text) == (403, "Sign in to continue.\n")


def test_nobody_is_signed_out_by_a_link(server: Server, provider: Provider, page: Page) -> None:
    enter(page, server, provider, FRAN)
    settle(page)
    page.goto(f"{server.url}/auth/logout")
    expect(page.get_by_text("You are still signed in.")).to_be_visible()
    page.goto(server.url)
    settle(page)
    expect(head(page, FRAN)).to_be_visible()
    watch_of(page).faults.clear()  # the browser logs the refusal


def test_who_signed_out_stays_out_after_a_restart(provider: Provider, page: Page, server: Server) -> None:
    enter(page, server, provider, FRAN)
    settle(page)
    kept = page.context.cookies()
    head(page, FRAN).click()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    page.goto("about:blank")
    server.kill()
    server.start()
    page.context.add_cookies(kept)  # type: ignore[arg-type]
    page.goto(server.url)
    expect(page.get_by_text("You signed out.")).to_be_visible()


def test_nothing_sent_to_a_stranger_says_where_the_program_lies(server: Server) -> None:
    with session(server) as stranger:
        stranger.ask(rerun_script={"query_string": "group=no-such-group"})
        stranger.ask(rerun_script={"page_name": "no-such-page"})
        assert stranger.ask(load_git_info=True) == []
        assert stranger.ask(clear_cache=True) == []
        said = b"".join(stranger.frames)
    for path in (
        "/",
        "/no/such/page",
        "/zones",
        "/_stcore/host-config",
        "/media/none.png",
        "/component/x/y",
        "/static/x.js",
    ):
        said += send(server, "GET", path).text.encode()
    assert b"Sign in to continue" in said
    assert str(ROOT).encode() not in said
    assert b"site-packages" not in said
