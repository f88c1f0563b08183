"""Where a browser session is and who sits at it: the only reader and writer of session state and query parameters.

The database is the state of the work; what stands here is only where one looks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from secrets import token_hex
from typing import Any

import streamlit as st

from checks.record import people
from checks.record.people import Person
from checks.record.sign_ins import NOBODY, NotSignedIn
from pages.shared import identity, mode


@dataclass(frozen=True, slots=True)
class _Given:
    """What a widget was last given: the mark of the stored version and its value; ``keep`` holds what was typed since."""

    mark: Any
    value: Any
    keep: bool = False


def get(key: str, default: Any = None) -> Any:
    """A value of this browser session."""
    return st.session_state.get(key, default)


def put(key: str, value: Any) -> None:
    """Keep a value for this browser session."""
    st.session_state[key] = value


def take(key: str) -> Any:
    """A value of this browser session, once."""
    return st.session_state.pop(key, None)


def writer() -> str:
    """Token of this browser session, to know one's own changes from other people's."""
    if "writer" not in st.session_state:
        st.session_state["writer"] = token_hex(8)
    return str(st.session_state["writer"])


def who() -> str:
    """Self-declared name or role of the person at this browser; empty where none was given."""
    return str(st.session_state.get("who", "")).strip()


def roles() -> list[str]:
    """Roles in which the person at this browser acts; without a choice, those of the team."""
    return list(st.session_state.get("roles", (people.FACILITATOR, people.MEMBER)))


def person() -> Person:
    """Who sits at this browser: on a server whoever signed in, and somebody without roles where nobody did."""
    if mode.serving():
        try:
            return identity.person(identity.claims(), writer=writer())
        except NotSignedIn:
            return Person("", frozenset(), identity=NOBODY, writer=writer())
    return Person(who()[:200], frozenset(roles()), writer=writer())


def grant() -> Callable[[], None]:
    """A check for later, when this browser is no longer asking: raises NotSignedIn where roles or sign-in changed."""
    if not mode.serving():
        return lambda: None
    told, drawn = identity.claims(), person()

    def check() -> None:
        if identity.person(told, writer=drawn.writer).roles != drawn.roles:
            raise NotSignedIn("Your roles have changed since this was shown: open the screen again.")

    return check


def at(name: str) -> str | None:
    """Where one is: a query parameter of the address."""
    return st.query_params.get(name)


def move(**where: str | None) -> None:
    """Change query parameters; None removes one."""
    for name, value in where.items():
        if value is None:
            st.query_params.pop(name, None)
        else:
            st.query_params[name] = value


def chosen(name: str, options: Sequence[str], default: str | None = None) -> str:
    """The option that the address names, else the one chosen last here, else the default, else the first."""
    for one in (at(name), st.session_state.get(f"last_{name}"), default):
        if one is not None and one in options:
            st.session_state[f"last_{name}"] = one
            return str(one)
    return options[0]


def follow(name: str, widget: str, *clear: str) -> None:
    """Callback of a chooser: write its value into the address and forget what hung on the old one."""
    move(**{name: st.session_state[widget], **dict.fromkeys(clear)})


def inject(widget: str, value: Any, mark: Any) -> None:
    """Give a widget its stored value, once for each stored version, so that half-typed text survives a rerun."""
    given = st.session_state.setdefault("injected", {})
    held = given.get(widget)
    if held is None or held.mark != mark or widget not in st.session_state:
        if held is None or not held.keep or widget not in st.session_state:
            st.session_state[widget] = value
        given[widget] = _Given(mark, value)


def keep(*widgets: str) -> bool:
    """Leave what was typed into these widgets although something else is stored by now; whether anything was typed."""
    given = st.session_state.get("injected", {})
    typed = [name for name in widgets if name in given and st.session_state.get(name) != given[name].value]
    for name in typed:
        given[name] = _Given(None, given[name].value, keep=True)
    return bool(typed)


def forget(*widgets: str) -> None:
    """Let these widgets take their stored value on the next run, whatever stands in them."""
    for name in widgets:
        st.session_state.get("injected", {}).pop(name, None)


def news(key: str, value: Any) -> bool:
    """Whether a value differs from the one noted last, and note it."""
    seen = st.session_state.get(f"news_{key}")
    st.session_state[f"news_{key}"] = value
    return bool(seen != value)
