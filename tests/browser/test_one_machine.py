"""The server listens on this machine only, and tells the browser to load from the server only."""

from __future__ import annotations

import errno
import socket
from contextlib import suppress

import pytest
from playwright.sync_api import Page

from pages.web.security_headers import POLICY
from tests.browser.screens import visit
from tests.browser.server import HOST, Server
from tests.browser.watch import watch_of

PATHS = ("/", "/common-cause?group=esv-501&q=TST1", "/_stcore/health", "/no/such/page", "/static/nothing.js")
TOLD_WITHIN = 500.0
"""Wait for an event from the browser [ms]; on a busy machine it may take several of these."""
TRIES = 60
BEYOND = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
"""Documentation addresses: a route lookup to them gives the outer address of this machine and sends nothing."""


@pytest.fixture(scope="module")
def server(only_seen: Server) -> Server:
    """Nothing is stored here."""
    return only_seen


def _other_addresses() -> list[str]:
    addresses = ["127.0.0.2", "::1"]
    for family, beyond in BEYOND:
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as asked:
            asked.connect((beyond, 9))
            addresses.append(asked.getsockname()[0])
    return [address for address in dict.fromkeys(addresses) if address != HOST]


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_carries_the_security_headers(server: Server, path: str) -> None:
    headers = server.get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["x-frame-options"] == "DENY"
    assert headers["cross-origin-opener-policy"] == "same-origin"


def test_the_policy_names_no_host_but_its_own() -> None:
    rules = dict(rule.strip().split(" ", 1) for rule in POLICY.split(";"))
    assert rules["default-src"] == "'self'"
    assert "'unsafe-inline'" not in rules["script-src"]
    assert "'unsafe-eval'" not in rules["script-src"]
    assert rules["frame-ancestors"] == "'none'"
    assert "//" not in POLICY
    assert "*" not in POLICY


def test_the_watch_over_every_page_notices_what_it_is_there_for(page: Page) -> None:
    page.route("http://elsewhere.invalid/**", lambda route: route.abort())
    page.set_content("<img src='http://elsewhere.invalid/x.png'><script>unheard_of()</script>")
    page.evaluate("console.error('said')")
    page.wait_for_timeout(TOLD_WITHIN)
    faults = " ".join(watch_of(page).faults)
    watch_of(page).faults.clear()
    assert "request to another host: http://elsewhere.invalid/x.png" in faults
    assert "script error: unheard_of is not defined" in faults
    assert "console: said" in faults


def test_a_request_outside_is_stopped_by_the_policy_and_noticed(server: Server, page: Page) -> None:
    visit(page, server, "/")
    faults = watch_of(page).faults
    page.evaluate("fetch('http://elsewhere.invalid/').catch(() => null)")
    for _ in range(TRIES):
        if any("content security policy: connect-src http://elsewhere.invalid" in fault for fault in faults):
            break
        page.wait_for_timeout(TOLD_WITHIN)
    else:
        raise AssertionError(f"the browser does not tell of it: {faults}")
    page.wait_for_timeout(TOLD_WITHIN)  # the console message comes separately
    assert not any("request to another host" in fault for fault in faults)
    faults.clear()


def test_no_other_address_of_this_machine_is_listened_on(server: Server) -> None:
    with socket.create_connection((HOST, server.port), timeout=5):
        pass
    refused = {}
    for address in _other_addresses():
        with socket.socket(socket.AF_INET6 if ":" in address else socket.AF_INET) as tried:
            tried.settimeout(5)
            refused[address] = tried.connect_ex((address, server.port))
    assert refused
    assert 0 not in refused.values(), f"somebody listens there: {refused}"
    assert errno.ECONNREFUSED in refused.values()
