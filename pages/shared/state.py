"""Where a browser session is and who sits at it: the only reader and writer of session state and query parameters.

The database is the state of the work; what stands here is only where one looks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from secrets import token_hex
from typing import Any

import streamlit as st

from checks.record import people
from checks.record.people import Person
from checks.record.sign_ins import NOBODY, NotSignedIn
from pages.shared import identity, mode


@dataclass(frozen=True, slots=True)
class Given:
    """A widget that shows a stored value: its key, and the value to draw it with first, which goes with the key.

    ``mark`` is that of the stored version it was last given, and ``value`` what that was; ``keep`` holds what was typed
    since.
    """

    key: str
    first: Any
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
    if changed(widget):
        move(**{name: st.session_state[widget], **dict.fromkeys(clear)})


def inject(name: str, value: Any, mark: Any) -> Given:
    """Give a widget its stored value, once for each stored version, so that half-typed text survives a rerun.

    A widget that shows something else is not overwritten: a new one takes its place. A browser goes on telling what
    the old one showed until the new one reaches it, and at first what it is drawn with. Under one key both would be
    taken for the reader's choice and undo what somebody else stored.
    """
    held = _given().get(name)
    if held is not None and held.key in st.session_state:
        if held.mark == mark:
            return held
        if held.keep or st.session_state[held.key] == value:
            _given()[name] = replace(held, mark=mark, value=value, keep=False)
            return _given()[name]
    again = held is not None and held.key not in st.session_state and held.first == value
    key = name if held is None else held.key if again else f"{name}~{len(_known())}"
    _known()[key] = value
    _given()[name] = Given(key, value, mark, value)
    return _given()[name]


def _given() -> dict[str, Given]:
    given: dict[str, Given] = st.session_state.setdefault("injected", {})
    return given


def _known() -> dict[str, Any]:
    """What each widget was last known to show."""
    known: dict[str, Any] = st.session_state.setdefault("known", {})
    return known


def shown(name: str, default: Any = None) -> Any:
    """What a widget shows that was given its value by ``inject``."""
    held = _given().get(name)
    return default if held is None else st.session_state.get(held.key, default)


def changed(key: str) -> bool:
    """Whether the reader changed a widget, which is drawn under this key: not so where a browser repeats itself."""
    value = st.session_state.get(key)
    before, _known()[key] = _known().get(key), value
    return bool(value != before)


def keep(*names: str) -> bool:
    """Leave what was typed into these widgets although something else is stored by now; whether anything was typed."""
    given = _given()
    typed = [name for name in names if name in given and shown(name) != given[name].value]
    for name in typed:
        given[name] = replace(given[name], mark=None, keep=True)
    return bool(typed)


def forget(*names: str) -> None:
    """Let these widgets take their stored value on the next run, whatever stands in them."""
    given = _given()
    for name in names:
        if name in given:
            given[name] = replace(given[name], mark=None)


def news(key: str, value: Any) -> bool:
    """Whether a value differs from the one noted last, and note it."""
    seen = st.session_state.get(f"news_{key}")
    st.session_state[f"news_{key}"] = value
    return bool(seen != value)
