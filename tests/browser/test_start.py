"""A program that must not start, with its message, and requests that a running server rejects.

Each kind of refusal is started once here; ``tests/pages/web/test_run_mode.py`` has every setting.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect
from websockets.typing import Origin, Subprotocol

from pages.web.security_headers import POLICY
from tests.browser.provider import Provider
from tests.browser.server import HOST, ROOT, Server, free_port
from tests.browser.signed import running, server_with

ENDS_WITHIN = 60.0
STREAM = [Subprotocol("streamlit")]


@pytest.fixture(scope="module")
def server(only_seen: Server) -> Server:
    """Nothing is stored here."""
    return only_seen


@pytest.fixture(scope="module")
def signed(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running(server_with(provider, tmp_path_factory.mktemp("start"))) as server:
        yield server


def _answers(port: int) -> bool:
    """Whether a server answers a health request."""
    connection = HTTPConnection(HOST, port, timeout=0.5)
    try:
        connection.request("GET", "/_stcore/health")
        return connection.getresponse().status > 0
    except OSError:
        return False
    finally:
        connection.close()


def _refusal(*flags: str, folder: Path = ROOT, **variables: str) -> str:
    """Message of a program that must not start: it exits with an error status and answers no request."""
    port = free_port()
    command = [sys.executable, "-m", "streamlit", "run", str(folder / "app.py"), "--server.headless", "true"]
    command += ["--server.port", str(port), *flags]
    environment = {**os.environ, "SHARED_CAUSE_DB": "sqlite://", **variables}
    process = subprocess.Popen(  # noqa: S603  (our own command line)
        command, cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    deadline = time.monotonic() + ENDS_WITHIN
    try:
        while process.poll() is None:
            assert not _answers(port), "it answers"
            assert time.monotonic() < deadline, "it does not end"
            time.sleep(0.2)
        output = process.communicate()[0]
    finally:
        process.kill()
    assert process.returncode not in (0, None)
    with socket.socket() as probe:
        assert probe.connect_ex((HOST, port)) != 0, "somebody listens"
    assert "Traceback" not in output
    sentence = output[output.index("Not started: ") :]
    return " ".join(sentence.split())


def test_without_sign_in_it_starts_on_loopback_only_whatever_the_flag_says() -> None:
    assert "server.address is '127.0.0.2', but without sign-in" in _refusal("--server.address", "127.0.0.2")


def test_without_sign_in_it_starts_on_loopback_only_whatever_the_environment_says() -> None:
    message = _refusal(STREAMLIT_SERVER_ADDRESS="0.0.0.0")  # noqa: S104
    assert "server.address is '0.0.0.0', but without sign-in the program answers on this machine only" in message
    assert "set SHARED_CAUSE_MODE=server" in message


def test_without_sign_in_it_starts_on_loopback_only_whatever_a_configuration_file_says(tmp_path: Path) -> None:
    """The configuration beside app.py is used: here in another folder with the same program."""
    for name in ("app.py", "pages", "checks", "scoring", "demo"):
        (tmp_path / name).symlink_to(ROOT / name)
    (tmp_path / ".streamlit").mkdir()
    (tmp_path / ".streamlit" / "config.toml").write_text('[server]\naddress = "0.0.0.0"\n')
    assert "server.address is '0.0.0.0'" in _refusal(folder=tmp_path)


def test_on_loopback_it_starts_without_sign_in(tmp_path: Path) -> None:
    server = Server(tmp_path, STREAMLIT_SERVER_ADDRESS="localhost")
    with running(server):
        assert server.get("/").status == 200


def test_an_unknown_mode_is_refused() -> None:
    assert "SHARED_CAUSE_MODE is 'Server'; allowed: local (the default, no sign-in) or server." in _refusal(
        SHARED_CAUSE_MODE="Server"
    )


def test_a_server_without_any_secrets_says_what_to_write() -> None:
    message = _refusal(SHARED_CAUSE_MODE="server")
    missing = "redirect_uri, cookie_secret, client_id, client_secret, server_metadata_url"
    assert f"needs an identity provider for sign-in: write {missing} in [auth]" in message


def test_a_server_that_streamlit_lets_open_by_a_variable_is_refused(provider: Provider, tmp_path: Path) -> None:
    server = server_with(provider, tmp_path, STREAMLIT_SERVER_ENABLE_XSRF_PROTECTION="false")
    assert "Streamlit's server.enableXsrfProtection is False" in _refusal(**server.variables)


def _asked(server: Server, path: str, **headers: str) -> HTTPResponse:
    connection = HTTPConnection(HOST, server.port, timeout=20)
    try:
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse()
        answer.read()
        return answer
    finally:
        connection.close()


@pytest.mark.parametrize("host", ["review.example.org", "127.0.0.1.example.org", "192.0.2.1:8501", "", "[::2]", "["])
def test_without_sign_in_a_foreign_name_for_this_machine_is_rejected(server: Server, host: str) -> None:
    refused = _asked(server, "/", Host=host)
    assert refused.status == 403
    assert refused.headers["content-security-policy"] == POLICY
    with pytest.raises(InvalidStatus), _socket(server, host=host, origin=f"http://{host}"):
        pass


def test_without_sign_in_each_name_of_this_machine_is_answered(server: Server) -> None:
    for host in (f"127.0.0.1:{server.port}", "localhost:1", "[::1]:8501"):
        assert _asked(server, "/", Host=host).status == 200


def _socket(server: Server, *, origin: str | None, host: str = "") -> connect:
    headers = {"Host": host} if host else {}
    address = f"ws://{HOST}:{server.port}/_stcore/stream"
    return connect(
        address,
        origin=None if origin is None else Origin(origin),
        subprotocols=STREAM,
        additional_headers=headers,
        proxy=None,
    )


@pytest.mark.parametrize("origin", [None, "null", "http://elsewhere.example.org", "http://127.0.0.1", "file://"])
@pytest.mark.parametrize("name", ["server", "signed"])
def test_a_socket_is_opened_for_a_page_of_its_own_only(
    request: pytest.FixtureRequest, name: str, origin: str | None
) -> None:
    server: Server = request.getfixturevalue(name)
    with pytest.raises(InvalidStatus) as caught, _socket(server, origin=origin):
        pass
    assert caught.value.response.status_code == 403
    with _socket(server, origin=server.url) as opened:
        assert opened.subprotocol == "streamlit"


@pytest.mark.parametrize("path", ["/", "/zones?zone=Z5", "/_stcore/health", "/auth/login", "/no/such", "/media/x"])
def test_every_answer_of_a_server_carries_the_headers_and_asks_to_come_back_encrypted(
    signed: Server, path: str
) -> None:
    headers = signed.get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["strict-transport-security"] == "max-age=31536000"


def test_without_encryption_nobody_is_asked_to_come_back_encrypted(server: Server) -> None:
    assert "strict-transport-security" not in server.get("/").headers


@pytest.mark.parametrize("path", ["/_stcore/metrics", "/_stcore/metrics/", "//_stcore/metrics", "/_stcore/./metrics"])
def test_a_server_tells_no_figures_of_itself(signed: Server, path: str) -> None:
    connection = HTTPConnection(HOST, signed.port, timeout=20)
    connection.request("GET", path)
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    assert b"active_sessions" not in body
    assert b"# TYPE" not in body
    if "." not in path:
        assert answer.status in (400, 404)


def test_without_sign_in_the_figures_of_the_server_are_there(server: Server) -> None:
    """Shows that the text in the test above exists."""
    connection = HTTPConnection(HOST, server.port, timeout=20)
    connection.request("GET", "/_stcore/metrics")
    body = connection.getresponse().read()
    connection.close()
    assert b"# TYPE" in body


@pytest.mark.parametrize(
    "wanted", ["//evil.example.org", "/\\evil.example.org", "https://evil.example.org", "x", "/a\r\nb: c"]
)
def test_the_way_back_from_the_sign_in_leads_nowhere_else(signed: Server, wanted: str) -> None:
    """Without a sign-in the redirect leads to the start page whatever the cookie says; ``tests/pages`` tests it with one."""
    cookie = f"shared_cause_wanted={json.dumps(wanted)}"
    answer = _asked(signed, "/oauth2callback?code=1&state=2", Cookie=cookie.encode("unicode_escape").decode())
    assert answer.status == 302
    assert answer.headers["location"] == "/?refused=1"
