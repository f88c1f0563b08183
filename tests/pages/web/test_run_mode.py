"""Settings with which the program does not start; ``tests/browser/test_start.py`` starts it with one of each kind."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import streamlit as st
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from streamlit import config
from streamlit.runtime.secrets import Secrets

from checks.access import roles
from checks.signoff import signatures
from pages.web import run_mode

AUTH = {
    "redirect_uri": "http://127.0.0.1:8501/oauth2callback",
    "cookie_secret": "invented-" * 8,
    "client_id": "shared-cause",
    "client_secret": "invented",
    "server_metadata_url": "http://127.0.0.1:9/.well-known/openid-configuration",
}
OLE = {"subject": "s-ole", "name": "Ole Listed", "roles": [roles.OWNER]}

Options = Callable[..., None]


@pytest.fixture(autouse=True)
def options(monkeypatch: pytest.MonkeyPatch) -> Options:
    """Set Streamlit options for one test; its secrets are read again."""
    given: dict[str, Any] = {}
    real = config.get_option

    def option(name: str) -> Any:
        return given[name] if name in given else real(name)

    for module in (st, config):
        monkeypatch.setattr(module, "get_option", option)
    monkeypatch.setattr(st, "secrets", Secrets())
    monkeypatch.setattr(run_mode, "_SETTLED", [])
    return given.update


@pytest.fixture
def server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: Options) -> Callable[..., None]:
    """Set up a server with a provider and one listed person; the arguments change the [auth] section."""

    def set_up(**changes: str) -> None:
        secrets, people = tmp_path / "secrets.toml", tmp_path / "people.yaml"
        lines = (f"{name} = {json.dumps(value)}\n" for name, value in {**AUTH, **changes}.items() if value)
        secrets.write_text("[auth]\n" + "".join(lines))
        people.write_text(json.dumps({"format": 1, "people": [OLE]}))  # JSON is YAML too
        options(**{"secrets.files": [str(secrets)]})
        monkeypatch.setenv(run_mode.VARIABLE, run_mode.SERVER)
        monkeypatch.setenv(run_mode.ROLES_VARIABLE, str(people))
        monkeypatch.setenv(run_mode.STATE_VARIABLE, str(tmp_path))

    return set_up


def refusal() -> str:
    """The message of a program that must not start."""
    with pytest.raises(run_mode.CannotStart) as caught:
        run_mode.check()
    return str(caught.value)


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "127.0.0.2", "", None])  # noqa: S104
def test_without_sign_in_it_starts_on_loopback_only(options: Options, address: str | None) -> None:
    options(**{"server.address": address})
    message = refusal()
    assert f"server.address is {address!r}, but without sign-in the program answers on this machine only" in message
    assert "set SHARED_CAUSE_MODE=server" in message


@pytest.mark.parametrize("address", ["127.0.0.1", "localhost", "::1"])
def test_on_loopback_it_starts_without_sign_in(options: Options, address: str) -> None:
    options(**{"server.address": address})
    run_mode.check()


@pytest.mark.parametrize("mode", ["", "Server", "SERVER", "remote", "local "])
def test_an_unknown_mode_is_refused(monkeypatch: pytest.MonkeyPatch, mode: str) -> None:
    monkeypatch.setenv(run_mode.VARIABLE, mode)
    assert refusal() == f"SHARED_CAUSE_MODE is {mode!r}; allowed: local (the default, no sign-in) or server."


def test_a_server_with_all_settings_starts(server: Callable[..., None]) -> None:
    server()
    run_mode.check()
    settled = run_mode.settled()
    assert (settled.client, settled.origin) == ("shared-cause", "http://127.0.0.1:8501")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"client_id": ""}, "write client_id in [auth] of .streamlit/secrets.toml"),
        ({"cookie_secret": "", "client_secret": ""}, "write cookie_secret, client_secret in [auth]"),
        ({"cookie_secret": "xxx"}, "has 3 characters, at least 32 are needed: make one with"),
        ({"redirect_uri": "http://review.example.org/oauth2callback"}, "it must begin with https://"),
        ({"redirect_uri": "https://review.example.org/"}, "it must end with /oauth2callback"),
        ({"server_metadata_url": "http://login.example.org/.well-known"}, "it must begin with https://"),
    ],
)
def test_a_server_without_a_usable_provider_says_what_to_write(
    server: Callable[..., None], changes: dict[str, str], sentence: str
) -> None:
    server(**changes)
    assert sentence in refusal()


@pytest.mark.parametrize(
    ("variable", "value", "sentence"),
    [
        (run_mode.ROLES_VARIABLE, "", "SHARED_CAUSE_ROLES is not set; name the YAML file"),
        (run_mode.ROLES_VARIABLE, "/no/such/people.yaml", "/no/such/people.yaml: (file): No such file or directory"),
        (run_mode.IDLE_VARIABLE, "soon", "SHARED_CAUSE_IDLE_MINUTES is 'soon'; allowed: a number of minutes"),
        (run_mode.IDLE_VARIABLE, "0", "SHARED_CAUSE_IDLE_MINUTES is '0'"),
        (run_mode.IDLE_VARIABLE, "nan", "SHARED_CAUSE_IDLE_MINUTES is 'nan'"),
        (run_mode.STATE_VARIABLE, "/proc/no-such", "Who signed out cannot be kept in /proc/no-such/sign-outs"),
    ],
)
def test_a_server_with_a_wrong_variable_says_which(
    server: Callable[..., None], monkeypatch: pytest.MonkeyPatch, variable: str, value: str, sentence: str
) -> None:
    server()
    monkeypatch.setenv(variable, value)
    assert sentence in refusal()


@pytest.mark.parametrize(
    ("option", "value", "sentence"),
    [
        ("server.enableXsrfProtection", False, "Streamlit's server.enableXsrfProtection is False"),
        ("server.enableAgentApi", True, "Streamlit's server.enableAgentApi is True"),
        ("server.trustedUserHeaders", {"X-Who": "sub"}, "Streamlit's server.trustedUserHeaders is"),
    ],
)
def test_a_server_with_an_option_of_streamlit_that_opens_it_is_refused(
    server: Callable[..., None], options: Options, option: str, value: Any, sentence: str
) -> None:
    server()
    options(**{option: value})
    assert sentence in refusal()


def test_a_server_signs_its_exports_with_the_key_that_is_named_for_it(
    server: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    server()
    assert run_mode.export_key() is None
    file, private = tmp_path / "export.key", Ed25519PrivateKey.generate()
    file.write_bytes(private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    file.chmod(0o600)
    monkeypatch.setenv(run_mode.KEY_VARIABLE, str(file))
    monkeypatch.setattr(run_mode, "_SETTLED", [])
    opened = run_mode.export_key()
    assert opened is not None
    assert opened.public_key() == private.public_key()
    monkeypatch.setenv(run_mode.VARIABLE, run_mode.LOCAL)
    assert run_mode.export_key() is None


@pytest.mark.parametrize(
    ("content", "mode", "sentence"),
    [
        (None, 0o600, "No such file or directory"),
        (b"x", 0o600, "this is no key file without a passphrase; make one with: openssl genpkey -algorithm ed25519"),
        (signatures.make("a few words to remember").file, 0o600, "this is no key file without a passphrase"),
        (b"x", 0o640, "is open to others than its owner: chmod 600"),
        (b"x" * 20_000, 0o600, "name a key file"),
    ],
)
def test_a_server_with_a_wrong_key_for_its_exports_says_what_is_wrong(
    server: Callable[..., None],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    content: bytes | None,
    mode: int,
    sentence: str,
) -> None:
    server()
    file = tmp_path / "export.key"
    if content is not None:
        file.write_bytes(content)
        file.chmod(mode)
    monkeypatch.setenv(run_mode.KEY_VARIABLE, str(file))
    message = refusal()
    assert message.startswith(f"{file} in SHARED_CAUSE_EXPORT_KEY")
    assert sentence in message


def test_a_server_with_a_wrong_list_of_people_says_where(server: Callable[..., None], tmp_path: Path) -> None:
    server()
    (tmp_path / "people.yaml").write_text(json.dumps({"format": 1, "people": [{**OLE, "roles": ["guest"]}]}))
    message = refusal()
    assert "people.yaml: people.0.roles.0 (line" in message
    assert "unknown role 'guest'; one of facilitator, team member" in message
