"""Who the sign-in of a browser says somebody is. Asked anew on every run, in every callback and at every download."""

from __future__ import annotations

import logging
import time
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import streamlit as st

from checks.faults import Refused
from checks.record import listed, sign_ins
from checks.record.people import Person
from checks.record.sign_ins import NotSignedIn, Register, SignIn
from pages.shared import mode


class _List:
    """The list of people, read again when its file changes. While it cannot be read nobody has a role."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._held: tuple[object, listed.People | None] = (None, None)

    def people(self) -> listed.People:
        """The people on the list; raises NotSignedIn where it is not taken."""
        mark = self._mark()
        if self._held[0] != mark:
            try:
                self._held = (mark, listed.from_file(self._path))
            except Refused as refused:
                logging.getLogger(__name__).warning("nobody is let in until this is mended:\n%s", refused)
                self._held = (mark, None)
        if self._held[1] is None:
            raise NotSignedIn("The list of people of this server cannot be read. Tell whoever runs it.", known=True)
        return self._held[1]

    def _mark(self) -> object:
        try:
            held = self._path.stat()
        except OSError as error:
            return error.errno
        return held.st_mtime_ns, held.st_size, held.st_ino


@cache
def _people(path: Path) -> _List:
    return _List(path)


@cache
def _register(idle: float) -> Register:
    return Register(idle=idle)


def claims() -> Mapping[str, Any]:
    """What the provider said of the person at this browser."""
    return dict(st.user)


def sign_in(told: Mapping[str, Any]) -> SignIn:
    """The sign-in of these claims, which counts now; raises NotSignedIn."""
    held = mode.settled()
    one = sign_ins.of_claims(told, client=held.client)
    _register(held.idle).check(one, time.time())
    return one


def person(told: Mapping[str, Any], *, writer: str) -> Person:
    """The person of these claims; raises NotSignedIn."""
    return sign_ins.person_of(sign_in(told), _people(mode.settled().people).people(), writer=writer)


def act(told: Mapping[str, Any]) -> None:
    """Note that the person of these claims did something."""
    _register(mode.settled().idle).act(sign_in(told), time.time())


def end(told: Mapping[str, Any]) -> None:
    """End the sign-in of these claims in every window; raises NotSignedIn where it has ended."""
    _register(mode.settled().idle).end(sign_in(told))
