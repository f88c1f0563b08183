"""Run mode: local on one machine without sign-in, or on a server with sign-in."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from stat import S_IRWXG, S_IRWXO
from typing import Any
from urllib.parse import urlsplit

import platformdirs
import streamlit as st
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.people_list import Watched
from checks.access.sign_ins import Register
from checks.access.sign_outs import SignOuts
from checks.signoff import signatures
from checks.text import files
from checks.text.faults import Refused

VARIABLE, LOCAL, SERVER = "SHARED_CAUSE_MODE", "local", "server"
ROLES_VARIABLE, IDLE_VARIABLE = "SHARED_CAUSE_ROLES", "SHARED_CAUSE_IDLE_MINUTES"
KEY_VARIABLE = "SHARED_CAUSE_EXPORT_KEY"
"""Names the key file with which a server signs what it hands out; it has no passphrase, so only the server may read it."""
LOOPBACK = ("127.0.0.1", "localhost", "::1")
STATE_VARIABLE = "STATE_DIRECTORY"
"""Set by systemd for a service with ``StateDirectory=``: the folder that the service may write."""
USUAL_IDLE, LONGEST_IDLE = 30.0, 1440.0
SHORTEST_SECRET = 32
NEEDED = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
CALLBACK = "/oauth2callback"
"""Path at which Streamlit receives the redirect of the identity provider."""
SETTINGS = {
    # Streamlit reads the sign-in cookie only with this protection on.
    "server.enableXsrfProtection": True,
    # A header named here would set the identity, and any client can send a header.
    "server.trustedUserHeaders": False,
    "server.enableAgentApi": False,
}
"""Streamlit settings that must be on (True) or off (False) on a server."""


class CannotStart(RuntimeError):
    """A setting with which the program does not start; the message names it and says what to write instead."""


def serving() -> bool:
    """Whether the program runs as a server with sign-in; raises CannotStart for an unknown mode."""
    mode = os.environ.get(VARIABLE, LOCAL)
    if mode not in (LOCAL, SERVER):
        raise CannotStart(f"{VARIABLE} is {mode!r}; allowed: {LOCAL} (the default, no sign-in) or {SERVER}.")
    return mode == SERVER


@dataclass(frozen=True, slots=True)
class Settled:
    """Settings of a server: client id at the provider, own address, list of people, sign-ins in use, key for exports."""

    client: str
    origin: str
    people: Watched
    register: Register
    export_key: Ed25519PrivateKey | None = None


_SETTLED: list[Settled] = []


def settled() -> Settled:
    """The settings of a server, read once; raises CannotStart, which says what to write where."""
    if not _SETTLED:
        _SETTLED.append(_settle())
    return _SETTLED[0]


def _settle() -> Settled:
    _streamlit()
    auth = _auth()
    path = os.environ.get(ROLES_VARIABLE, "")
    if not path:
        raise CannotStart(f"{ROLES_VARIABLE} is not set; name the YAML file that lists the people and their roles.")
    people = Watched(Path(path).absolute())
    try:
        people.people()
    except Refused as refused:
        raise CannotStart(f"The list of people in {ROLES_VARIABLE} is invalid:\n{refused}") from refused
    address = urlsplit(auth["redirect_uri"])
    return Settled(
        auth["client_id"],
        f"{address.scheme}://{address.netloc}",
        people,
        Register(idle=_idle(), ended=_ended()),
        _export_key(),
    )


def export_key() -> Ed25519PrivateKey | None:
    """The key with which this installation signs exports; None where it has none, as on one machine."""
    return settled().export_key if serving() else None


def check() -> None:
    """Raise CannotStart if the program must not start with these settings."""
    if serving():
        settled()
        return
    address = st.get_option("server.address")
    if address not in LOOPBACK:
        raise CannotStart(
            f"server.address is {address!r}, but without sign-in the program answers on this machine only: "
            f"allowed are {', '.join(LOOPBACK)}. For other machines set {VARIABLE}={SERVER} (see README, On a server)."
        )


def _streamlit() -> None:
    try:
        import_module("authlib.integrations.starlette_client")
    except ModuleNotFoundError as error:
        raise CannotStart(f"Sign-in needs {error.name}: pip install -r requirements.txt") from error
    for name, on in SETTINGS.items():
        if bool(st.get_option(name)) is not on:
            raise CannotStart(
                f"Streamlit's {name} is {st.get_option(name)!r}; on a server {'leave it on' if on else 'remove it'}."
            )


def _auth() -> dict[str, str]:
    """The [auth] section of Streamlit's secrets, checked; raises CannotStart."""
    where = "in [auth] of .streamlit/secrets.toml, or of a file named in STREAMLIT_SECRETS_FILES"
    auth = _secrets()
    missing = [name for name in NEEDED if not isinstance(auth.get(name), str) or not auth[name].strip()]
    if missing:
        raise CannotStart(
            f"{VARIABLE}={SERVER} needs an identity provider for sign-in: write {', '.join(missing)} {where}."
        )
    if len(auth["cookie_secret"]) < SHORTEST_SECRET:
        raise CannotStart(
            f"cookie_secret {where} has {len(auth['cookie_secret'])} characters, at least {SHORTEST_SECRET} are needed: "
            "make one with: python3 -c 'import secrets; print(secrets.token_hex(32))'"
        )
    for name in ("redirect_uri", "server_metadata_url"):
        address = urlsplit(auth[name])
        if address.scheme != "https" and not (address.scheme == "http" and address.hostname in LOOPBACK):
            raise CannotStart(
                f"{name} {where} is {auth[name]}; it must begin with https:// (http:// on loopback only)."
            )
    if not urlsplit(auth["redirect_uri"]).path.endswith(CALLBACK):
        raise CannotStart(f"redirect_uri {where} is {auth['redirect_uri']}; it must end with {CALLBACK}.")
    return {name: auth[name] for name in NEEDED}


def _secrets() -> dict[str, Any]:
    if not st.secrets.load_if_toml_exists():
        return {}
    auth = st.secrets.get("auth", {})
    return dict(auth) if hasattr(auth, "keys") else {}


def _idle() -> float:
    """Seconds without activity after which a sign-in ends; raises CannotStart."""
    text = os.environ.get(IDLE_VARIABLE, str(USUAL_IDLE))
    try:
        minutes = float(text)
    except ValueError:
        minutes = float("nan")
    if not 0.0 < minutes <= LONGEST_IDLE:
        raise CannotStart(
            f"{IDLE_VARIABLE} is {text!r}; allowed: a number of minutes above 0, at most {LONGEST_IDLE:g}."
        )
    return minutes * 60.0


def _export_key() -> Ed25519PrivateKey | None:
    """The key of a server for its exports, None where none is named; raises CannotStart."""
    path = os.environ.get(KEY_VARIABLE, "")
    if not path:
        return None
    try:
        if Path(path).stat().st_mode & (S_IRWXG | S_IRWXO):
            raise CannotStart(f"{path} in {KEY_VARIABLE} is open to others than its owner: chmod 600 {path}")
        return signatures.without_passphrase(files.read(Path(path), "a key file", signatures.LARGEST_FILE))
    except OSError as error:
        raise CannotStart(f"{path} in {KEY_VARIABLE}: {error.strerror}") from error
    except (signatures.KeyRefused, Refused) as error:
        raise CannotStart(f"{path} in {KEY_VARIABLE}: {error}") from error


def _ended() -> SignOuts:
    """The sign-ins that were ended before this start; raises CannotStart where they cannot be kept."""
    folder = os.environ.get(STATE_VARIABLE, "").partition(":")[0]
    file = Path(folder or platformdirs.user_data_dir("shared-cause-review", appauthor=False)) / "sign-outs"
    try:
        return SignOuts(file, now=time.time())
    except OSError as error:
        raise CannotStart(
            f"Who signed out cannot be kept in {file}: {error.strerror}. Set {STATE_VARIABLE} to a folder to write in."
        ) from error
