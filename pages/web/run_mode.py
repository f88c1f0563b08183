"""How the program is run: for one machine without sign-in, or on a server where everybody signs in."""

from __future__ import annotations

import os
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import streamlit as st

from checks.access.people_list import Watched
from checks.access.sign_ins import Register
from checks.text.faults import Refused

VARIABLE, LOCAL, SERVER = "SHARED_CAUSE_MODE", "local", "server"
ROLES_VARIABLE, IDLE_VARIABLE = "SHARED_CAUSE_ROLES", "SHARED_CAUSE_IDLE_MINUTES"
LOOPBACK = ("127.0.0.1", "localhost", "::1")
USUAL_IDLE, LONGEST_IDLE = 30.0, 1440.0
SHORTEST_SECRET = 32
NEEDED = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
CALLBACK = "/oauth2callback"
"""Where Streamlit receives people whom the provider sends back."""
SETTINGS = {
    # The sign-in is read from its cookie only where this protection is on.
    "server.enableXsrfProtection": True,
    # Headers named here would say who somebody is, and anybody can send a header.
    "server.trustedUserHeaders": False,
    "server.enableAgentApi": False,
}
"""Settings of Streamlit that must be on or off on a server."""


class CannotStart(RuntimeError):
    """A setting with which the program does not start; the text says which, and what to write instead."""


def serving() -> bool:
    """Whether this is a server on which everybody signs in; raises CannotStart for an unknown mode."""
    named = os.environ.get(VARIABLE, LOCAL)
    if named not in (LOCAL, SERVER):
        raise CannotStart(f"{VARIABLE} is {named!r}; allowed: {LOCAL} (the default, no sign-in) or {SERVER}.")
    return named == SERVER


@dataclass(frozen=True, slots=True)
class Settled:
    """What a server knows: its client id at the provider, its address, the list of people, the sign-ins in use."""

    client: str
    origin: str
    people: Watched
    register: Register


_SETTLED: list[Settled] = []


def settled() -> Settled:
    """The settings of a server, read once; raises CannotStart with what is to be written where."""
    if not _SETTLED:
        _SETTLED.append(_settle())
    return _SETTLED[0]


def _settle() -> Settled:
    _streamlit()
    auth = _auth()
    named = os.environ.get(ROLES_VARIABLE, "")
    if not named:
        raise CannotStart(f"{ROLES_VARIABLE} is not set; name the YAML file that says who has which roles.")
    people = Watched(Path(named).absolute())
    try:
        people.people()
    except Refused as refused:
        raise CannotStart(f"The list of people in {ROLES_VARIABLE} is not taken:\n{refused}") from refused
    address = urlsplit(auth["redirect_uri"])
    return Settled(auth["client_id"], f"{address.scheme}://{address.netloc}", people, Register(idle=_idle()))


def check() -> None:
    """Raise CannotStart where the program must not start with these settings."""
    if serving():
        settled()
        return
    address = st.get_option("server.address")
    if address not in LOOPBACK:
        raise CannotStart(
            f"server.address is {address!r}, but without sign-in the program answers on this machine only: "
            f"allowed are {', '.join(LOOPBACK)}. For other people set {VARIABLE}={SERVER} (see README, On a server)."
        )


def _streamlit() -> None:
    try:
        import_module("authlib.integrations.starlette_client")
    except ModuleNotFoundError as error:
        raise CannotStart(f"To sign people in, {error.name} is needed: pip install -r requirements.txt") from error
    for name, on in SETTINGS.items():
        if bool(st.get_option(name)) is not on:
            raise CannotStart(
                f"Streamlit's {name} is {st.get_option(name)!r}; on a server {'leave it on' if on else 'remove it'}."
            )


def _auth() -> dict[str, str]:
    """The [auth] section of Streamlit's secrets."""
    where = "in [auth] of .streamlit/secrets.toml, or of a file that STREAMLIT_SECRETS_FILES names"
    held = _secrets()
    lacking = [name for name in NEEDED if not isinstance(held.get(name), str) or not held[name].strip()]
    if lacking:
        raise CannotStart(
            f"{VARIABLE}={SERVER} needs a provider that people sign in with: write {', '.join(lacking)} {where}."
        )
    if len(held["cookie_secret"]) < SHORTEST_SECRET:
        raise CannotStart(
            f"cookie_secret {where} has {len(held['cookie_secret'])} letters, at least {SHORTEST_SECRET} are needed: "
            "make one with: python3 -c 'import secrets; print(secrets.token_hex(32))'"
        )
    for name in ("redirect_uri", "server_metadata_url"):
        address = urlsplit(held[name])
        if address.scheme != "https" and not (address.scheme == "http" and address.hostname in LOOPBACK):
            raise CannotStart(
                f"{name} {where} is {held[name]}; it must begin with https:// (http:// on loopback only)."
            )
    if not urlsplit(held["redirect_uri"]).path.endswith(CALLBACK):
        raise CannotStart(f"redirect_uri {where} is {held['redirect_uri']}; it must end with {CALLBACK}.")
    return {name: held[name] for name in NEEDED}


def _secrets() -> dict[str, Any]:
    if not st.secrets.load_if_toml_exists():
        return {}
    held = st.secrets.get("auth", {})
    return dict(held) if hasattr(held, "keys") else {}


def _idle() -> float:
    named = os.environ.get(IDLE_VARIABLE, str(USUAL_IDLE))
    try:
        minutes = float(named)
    except ValueError:
        minutes = float("nan")
    if not 0.0 < minutes <= LONGEST_IDLE:
        raise CannotStart(
            f"{IDLE_VARIABLE} is {named!r}; allowed: a number of minutes above 0, at most {LONGEST_IDLE:g}."
        )
    return minutes * 60.0
