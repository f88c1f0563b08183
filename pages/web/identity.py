"""Who the sign-in of a browser says somebody is. Asked anew on every run, in every callback and at every download."""

from __future__ import annotations

import time
from collections.abc import Mapping
from typing import Any

import streamlit as st

from checks.access import sign_ins
from checks.access.roles import Person
from checks.access.sign_ins import NotSignedIn, SignIn
from checks.text.faults import Refused
from pages.web import run_mode


def claims() -> Mapping[str, Any]:
    """What the provider said of the person at this browser."""
    return dict(st.user)


def sign_in(told: Mapping[str, Any]) -> SignIn:
    """The sign-in of these claims, which counts now; raises NotSignedIn."""
    one = sign_ins.of_claims(told, client=run_mode.settled().client)
    run_mode.settled().register.check(one, time.time())
    return one


def person(told: Mapping[str, Any], *, writer: str) -> Person:
    """The person of these claims; raises NotSignedIn."""
    one = sign_in(told)
    try:
        people = run_mode.settled().people.people()
    except Refused as refused:
        why = "The list of people of this server cannot be read. Tell whoever runs it."
        raise NotSignedIn(why, known=True) from refused
    return sign_ins.person_of(one, people, writer=writer)


def act(told: Mapping[str, Any]) -> None:
    """Note that the person of these claims did something."""
    run_mode.settled().register.act(sign_in(told), time.time())


def end(told: Mapping[str, Any]) -> None:
    """End the sign-in of these claims in every window; raises NotSignedIn where it has ended."""
    run_mode.settled().register.end(sign_in(told))
