"""The signed-in person of a browser, checked again on every run, in every callback and at every download."""

from __future__ import annotations

import time
from collections.abc import Mapping
from typing import Any

import streamlit as st
from starlette.requests import HTTPConnection
from streamlit.web.server.starlette import starlette_websocket

from checks.access import sign_ins
from checks.access.roles import Person
from checks.access.sign_ins import NotSignedIn, SignIn
from checks.text.faults import Refused
from pages.web import run_mode
from pages.web.security_headers import Message

COOKIE = "_streamlit_user"
"""Cookie in which Streamlit keeps the claims of a sign-in, signed."""


def claims() -> Mapping[str, Any]:
    """Claims of the identity provider about the person at this browser."""
    return dict(st.user)


def claims_of_request(scope: Message) -> Mapping[str, Any]:
    """Claims in the cookie of a request, read as Streamlit reads them for a web socket; empty without a genuine one."""
    cookies = dict(HTTPConnection(scope).cookies)
    signed = starlette_websocket._get_signed_cookie_with_chunks(cookies, COOKIE)  # noqa: SLF001
    origin = run_mode.settled().origin
    return starlette_websocket._parse_decoded_user_cookie(signed, origin) if signed else {}  # noqa: SLF001


def still_valid(scope: Message) -> bool:
    """Whether a request carries a sign-in that nobody has ended, of a person on the list of people or not."""
    try:
        sign_in(claims_of_request(scope))
    except NotSignedIn:
        return False
    return True


def signed_in(scope: Message) -> bool:
    """Whether a request is that of a person on the list of people with a valid sign-in."""
    try:
        person(claims_of_request(scope), writer="")
    except NotSignedIn:
        return False
    return True


def sign_in(claimed: Mapping[str, Any]) -> SignIn:
    """The valid sign-in of these claims; raises NotSignedIn."""
    valid = sign_ins.of_claims(claimed, client=run_mode.settled().client)
    run_mode.settled().register.check(valid, time.time())
    return valid


def person(claimed: Mapping[str, Any], *, writer: str) -> Person:
    """The person of these claims, with the roles of the list of people; raises NotSignedIn."""
    valid = sign_in(claimed)
    try:
        people = run_mode.settled().people.people()
    except Refused as refused:
        why = "The list of people on this server cannot be read. Tell the server administrator."
        raise NotSignedIn(why, known=True) from refused
    return sign_ins.person_of(valid, people, writer=writer)


def act(claimed: Mapping[str, Any]) -> None:
    """Note activity of the person of these claims; raises NotSignedIn."""
    run_mode.settled().register.act(sign_in(claimed), time.time())


def end(claimed: Mapping[str, Any]) -> None:
    """End the sign-in of these claims in every window; raises NotSignedIn if it has ended already."""
    run_mode.settled().register.end(sign_in(claimed))
