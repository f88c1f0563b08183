"""Sign-in on a server: the provider gives the identity, the list gives the roles, and nobody else can sign in."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.provider import Login, Provider
from tests.browser.screens import FOOT, SECTION_LINKS, OpenPage, answer, settle, stored
from tests.browser.server import Server
from tests.browser.signed import (
    FRAN,
    MEI,
    NAMES,
    RAI,
    ROLES_OF,
    STRANGER,
    VIC,
    enter,
    head,
    list_of,
    listed,
    running,
    seen_by,
    server_with,
)  # fmt: skip
from tests.browser.watch import watch_of
from tests.browser.wire import without_news
from tests.rule import Rule

Serve = Callable[..., Server]
ENDED = re.compile(r"^Your sign-in ended at \d\d:\d\d:\d\d UTC\.")
DEEP = "/common-cause?group=esv-501&q=TST1"
SHORT = 12.0
"""Lifetime of a short sign-in [s]."""
FORGED = ("signature", "issuer", "audience", "audience alone", "nonce", "long over", "refused")


@pytest.fixture(scope="module")
def server(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    server = server_with(provider, tmp_path_factory.mktemp("signed"))
    with running(server):
        yield server
    assert not server.complaints(), server.said()


@pytest.fixture(scope="module")
def forging(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A separate server, since it writes each refusal to its terminal."""
    with running(server_with(provider, tmp_path_factory.mktemp("forging"))) as server:
        yield server


@pytest.fixture
def serve(provider: Provider, tmp_path: Path) -> Iterator[Serve]:
    """Start a separate server; request it before the page, which must close before the server does."""
    started: list[Server] = []

    def start(**variables: str) -> Server:
        started.append(server_with(provider, tmp_path, **variables))
        started[-1].start()
        return started[-1]

    yield start
    for server in started:
        server.stop()


def _short(login: Login) -> Login:
    """The same person with a sign-in of some seconds."""
    return replace(login, lasts=SHORT)


def _back_in(page: Page, provider: Provider, login: Login) -> None:
    """Sign in from the screen that says why the sign-in ended."""
    provider.login = login
    page.get_by_role("button", name="Sign in").click()
    expect(head(page, login)).to_be_visible()


def _kept_out(page: Page) -> None:
    """Nothing of the program is shown except the sign-in."""
    expect(page.get_by_role("heading", name="Shared-Cause Review")).to_be_visible()
    expect(page.get_by_text(FOOT)).to_have_count(0)
    expect(page.get_by_text("Quillmarch")).to_have_count(0)
    expect(page.locator(SECTION_LINKS)).to_have_count(0)


@pytest.mark.parametrize("login", [FRAN, RAI, VIC], ids=lambda login: login.subject)
def test_a_role_signs_in_and_sees_its_screens_listed(
    server: Server, provider: Provider, page: Page, login: Login
) -> None:
    """One of those with each list; ``tests/pages/ui/test_signed_in.py`` looks at the links for every role."""
    enter(page, server, provider, login)
    settle(page)
    assert listed(page) == seen_by(login)
    head(page, login).click()
    expect(page.get_by_text(f"Roles: {', '.join(sorted(ROLES_OF[login.subject]))}")).to_be_visible()
    expect(page.get_by_role("textbox", name="Your name or role")).to_have_count(0)
    expect(page.get_by_role("combobox", name="Your roles")).to_have_count(0)


def test_at_no_address_does_anybody_get_past_the_sign_in_screen(server: Server, page: Page) -> None:
    with Rule() as rule:
        for path in ("/", DEEP, "/sign-off", "/zones?zone=Z5", "/no-such-page"):
            with rule.case(path):
                page.goto(server.url + path)
                expect(page.get_by_role("button", name="Sign in")).to_be_visible()
                expect(page.get_by_text("Sign in to continue")).to_be_visible()
                _kept_out(page)
    unknown = "The page that you have requested does not seem to exist"  # logged for an address that leads nowhere
    watch_of(page).faults[:] = [fault for fault in watch_of(page).faults if unknown not in fault]


def test_a_deep_link_survives_the_sign_in(server: Server, provider: Provider, page: Page) -> None:
    enter(page, server, provider, FRAN, DEEP)
    settle(page)
    expect(page).to_have_url(re.compile(r"/common-cause\?.*group=esv-501.*q=TST1"))
    expect(page.get_by_text(re.compile("TST1 · question"))).to_be_visible()


def test_an_answer_carries_the_listed_name_and_how_it_is_known(server: Server, provider: Provider, page: Page) -> None:
    enter(page, server, provider, MEI, "/common-cause?group=tt-302&q=DIV8")
    answer(page, "Partly").click()
    expect(stored(page)).to_contain_text(f"by {NAMES[MEI.subject]}")
    (event,) = server.events("answer")[-1:]
    assert (event.by, event.identity) == (NAMES[MEI.subject], f"signed in: {provider.url} s-mei")


def test_a_hidden_screen_answers_at_its_address_with_what_it_needs(
    server: Server, provider: Provider, page: Page
) -> None:
    enter(page, server, provider, VIC, "/zones?zone=Z5")
    settle(page)
    expect(
        page.get_by_text(re.compile("Nothing is shown here: one of these roles is needed to see gap detail"))
    ).to_be_visible()
    expect(page.get_by_text("Ask the server administrator for it")).to_be_visible()
    expect(page.get_by_role("heading", name=re.compile("^Gaps of"))).to_have_count(0)
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_two_people_with_different_roles_work_at_once(server: Server, provider: Provider, open_page: OpenPage) -> None:
    member, viewer = open_page(), open_page()
    enter(member, server, provider, MEI, "/common-cause?group=pt-301&q=SEP1")
    settle(member)
    enter(viewer, server, provider, VIC)
    settle(viewer)
    answer(member, "Not met").click()
    expect(stored(member)).to_contain_text(f"by {NAMES[MEI.subject]}")
    expect(head(member, MEI)).to_be_visible()
    expect(head(viewer, VIC)).to_be_visible()
    assert listed(viewer) == seen_by(VIC)
    assert listed(member) == seen_by(MEI)


def test_a_person_not_on_the_list_reads_a_sentence_and_nothing_else(
    server: Server, provider: Provider, page: Page
) -> None:
    enter(page, server, provider, STRANGER)
    expect(page.get_by_text("You are signed in as Sal Stranger, but not on the list of people")).to_be_visible()
    _kept_out(page)
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()


def test_an_address_that_the_provider_did_not_verify_opens_nothing(
    server: Server, provider: Provider, page: Page
) -> None:
    with Rule() as rule:
        for verified in (False, "true", 1, ""):
            with rule.case(repr(verified)):
                page.context.clear_cookies()
                enter(page, server, provider, Login("s-another", FRAN.email, "Someone Else", verified=verified))
                expect(page.get_by_text("Your provider names no verified e-mail address.")).to_be_visible()
                _kept_out(page)


def test_signing_out_ends_it_in_every_window_and_at_the_provider(
    server: Server, provider: Provider, page: Page
) -> None:
    enter(page, server, provider, FRAN)
    settle(page)
    other = page.context.new_page()
    other.goto(server.url + DEEP)
    settle(other)
    before = provider.signed_out
    kept = page.context.cookies()
    head(page, FRAN).click()
    with page.expect_response(re.compile(re.escape(f"{provider.url}/out"))):
        page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    assert provider.signed_out == before + 1
    expect(other.get_by_text("You signed out.")).to_be_visible()
    _kept_out(other)
    page.context.add_cookies(kept)  # type: ignore[arg-type]  # as somebody would who had copied them
    page.goto(server.url)
    expect(page.get_by_text("You signed out.")).to_be_visible()
    _kept_out(page)


def test_an_answer_given_after_the_sign_in_has_ended_is_not_stored(
    server: Server, provider: Provider, page: Page
) -> None:
    without_news(page)  # otherwise the screen would have closed by itself before the click
    enter(page, server, provider, _short(MEI), "/common-cause?group=pt-401&q=DIV8")
    box = answer(page, "Met")
    before = server.history("DIV8", "group:pt-401")
    page.wait_for_timeout(SHORT * 1000)
    box.click()
    expect(page.get_by_text(ENDED)).to_be_visible()
    expect(page.get_by_text("What was typed or clicked since is not stored.")).to_be_visible()
    _kept_out(page)
    assert server.history("DIV8", "group:pt-401") == before
    page.reload()
    expect(page.get_by_text(ENDED)).to_be_visible()
    _back_in(page, provider, MEI)


def test_a_screen_closes_by_itself_when_the_sign_in_ends(server: Server, provider: Provider, page: Page) -> None:
    enter(page, server, provider, _short(FRAN), "/zones?zone=Z5")
    expect(page.get_by_role("heading", name="Gaps of Z5")).to_be_visible()
    expect(page.get_by_text(ENDED)).to_be_visible()
    _kept_out(page)


def test_a_file_is_not_handed_out_after_the_sign_in_has_ended(forging: Server, provider: Provider, page: Page) -> None:
    without_news(page)
    handed: list[str] = []
    page.on("download", lambda file: handed.append(file.url))
    enter(page, forging, provider, _short(FRAN), "/zones?zone=Z5")
    button = page.get_by_role("button", name="Download these gaps (CSV)")
    expect(button).to_be_visible()
    page.wait_for_timeout(SHORT * 1000)
    button.click()
    expect(page.get_by_text("Failed to generate file for download")).to_be_visible()
    assert handed == []


def test_the_cookies_travel_encrypted_only_and_end_with_the_window(
    server: Server, provider: Provider, open_page: OpenPage
) -> None:
    page = open_page(known_as="")  # the name that a browser keeps is of the other mode
    enter(page, server, provider, FRAN)
    settle(page)
    cookies = {cookie["name"]: cookie for cookie in page.context.cookies()}
    assert all(cookie["secure"] for cookie in cookies.values()), cookies
    for name in ("_streamlit_user", "_streamlit_user_tokens"):
        assert cookies[name]["httpOnly"]
        assert cookies[name]["sameSite"] == "Lax"
        assert cookies[name]["expires"] == -1
    assert "shared_cause_wanted" not in cookies


def test_roles_change_on_the_open_screen_when_the_list_changes(
    serve: Serve, provider: Provider, page: Page, tmp_path: Path
) -> None:
    server, roles = serve(), tmp_path / "people.yaml"
    enter(page, server, provider, FRAN, "/zones?zone=Z5")
    expect(page.get_by_role("heading", name="Gaps of Z5")).to_be_visible()
    roles.write_text(list_of().replace('"facilitator"', '"viewer"').replace('"team member"', '"viewer again"', 1))
    expect(page.get_by_text("The list of people on this server cannot be read")).to_be_visible()
    _kept_out(page)
    assert "people.0.roles.1" in server.said()
    roles.write_text(list_of().replace('"facilitator"', '"viewer"').replace('"team member"', '"owner"', 1))
    page.reload()
    settle(page)
    head(page, FRAN).click()
    expect(page.get_by_text("Roles: owner, viewer")).to_be_visible()
    roles.write_text(list_of(FRAN))
    expect(page.get_by_text("but not on the list of people")).to_be_visible()
    _kept_out(page)


def test_whoever_does_nothing_is_signed_out_although_others_work(
    serve: Serve, provider: Provider, open_page: OpenPage
) -> None:
    server = serve(SHARED_CAUSE_IDLE_MINUTES="0.25")
    idle, busy = open_page(), open_page()
    enter(idle, server, provider, VIC)
    settle(idle)
    enter(busy, server, provider, FRAN, "/common-cause?group=pt-301&q=SEP1")
    for name in ("Met", "Not met", "Partly", "Met"):
        answer(busy, name).click()
        expect(answer(busy, name)).to_be_checked()
        busy.wait_for_timeout(4500)
    expect(idle.get_by_text("Signed out after 0.25 minutes without activity.")).to_be_visible()
    _kept_out(idle)
    expect(head(busy, FRAN)).to_be_visible()
    idle.reload()
    expect(idle.get_by_text("Signed out after 0.25 minutes without activity")).to_be_visible()
    _back_in(idle, provider, VIC)


def test_a_forged_answer_of_the_provider_is_refused(forging: Server, provider: Provider, page: Page) -> None:
    """Checks of OpenID Connect Core 1.0, 3.1.3.7, from memory: signature, issuer, audience, nonce and expiry.

    The true answer after them opens the program.
    """
    with Rule() as rule:
        for forged in FORGED:
            with rule.case(forged):
                page.context.clear_cookies()
                enter(page, forging, provider, Login(FRAN.subject, FRAN.email, FRAN.name, forged=forged))
                said = "The provider's token is not usable here." if forged == "audience" else "Sign-in failed"
                expect(page.get_by_text(said)).to_be_visible()
                _kept_out(page)
    page.context.clear_cookies()
    page.goto(forging.url)
    _back_in(page, provider, FRAN)


def test_a_cookie_that_somebody_made_up_opens_nothing(server: Server, page: Page) -> None:
    cookie = {"name": "_streamlit_user", "value": "2|1:0|10:1|15:_streamlit_user|4:e30=|00", "url": server.url}
    page.context.add_cookies([cookie])  # type: ignore[list-item]
    page.goto(server.url)
    expect(page.get_by_text("Sign in to continue")).to_be_visible()
    _kept_out(page)
