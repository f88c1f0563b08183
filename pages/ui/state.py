"""Where a browser session is and who sits at it: the only reader and writer of session state and query parameters.

The database is the state of the work; what stands here is only where one looks.

A run gives way to what the browser sent since wherever it asks the session state for a value or the address for a
parameter, in a callback too; and the next run takes what the given-up callback was called for as known. So that no
answer is lost between two quick presses, everything a callback needs is read with ``streamlit_workarounds.value`` and kept in ``_own``,
and ``move`` is carried out by the run after it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from secrets import token_hex
from typing import Any

import streamlit as st

from checks.access.roles import TEAM, Person
from checks.access.sign_ins import NOBODY, NotSignedIn
from pages.web import identity, run_mode, streamlit_workarounds

OWN = "own"
"""Under this key stands all that is kept here besides the widgets."""
NOTHING = object()
"""Stands for the value of a widget that is not there."""


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


def _own() -> dict[str, Any]:
    """What is kept here besides the widgets, to be changed in place."""
    own: dict[str, Any] | None = streamlit_workarounds.value(OWN)
    if own is None:
        own = st.session_state[OWN] = {}
    return own


def get(key: str, default: Any = None) -> Any:
    """A value of this browser session: one that was put, else that of a widget."""
    own = streamlit_workarounds.value(OWN, {})
    return own[key] if key in own else streamlit_workarounds.value(key, default)


def put(key: str, value: Any) -> None:
    """Keep a value for this browser session."""
    _own()[key] = value


def take(key: str) -> Any:
    """A value of this browser session, once."""
    own = _own()
    return own.pop(key) if key in own else st.session_state.pop(key, None)


def writer() -> str:
    """Token of this browser session, to know one's own changes from other people's."""
    own = _own()
    if "writer" not in own:
        own["writer"] = token_hex(8)
    return str(own["writer"])


def who() -> str:
    """Self-declared name or role of the person at this browser; empty where none was given."""
    return str(_own().get("who", "")).strip()


def roles() -> list[str]:
    """Roles in which the person at this browser acts; without a choice, those of the team."""
    return list(_own().get("roles", TEAM))


def person() -> Person:
    """Who sits at this browser: on a server whoever signed in, and somebody without roles where nobody did."""
    if run_mode.serving():
        try:
            return identity.person(identity.claims(), writer=writer())
        except NotSignedIn:
            return Person("", frozenset(), identity=NOBODY, writer=writer())
    return Person(who()[:200], frozenset(roles()), writer=writer())


def grant() -> Callable[[], None]:
    """A check for later, when this browser is no longer asking: raises NotSignedIn where roles or sign-in changed."""
    if not run_mode.serving():
        return lambda: None
    told, drawn = identity.claims(), person()

    def check() -> None:
        if identity.person(told, writer=drawn.writer).rights != drawn.rights:
            raise NotSignedIn("Your roles have changed since this was shown: open the screen again.")

    return check


def at(name: str) -> str | None:
    """Where one is: a query parameter of the address."""
    moves = _own().get("moves", {})
    while moves:
        moved, value = next(iter(moves.items()))
        if value is None:
            st.query_params.pop(moved, None)
        else:
            st.query_params[moved] = value
        del moves[moved]
    return st.query_params.get(name)


def move(**where: str | None) -> None:
    """Change query parameters, from the next look at them on; None removes one."""
    _own().setdefault("moves", {}).update(where)


def chosen(name: str, options: Sequence[str], default: str | None = None, *, within: str = "") -> str:
    """The option that the address names, else the one chosen last here, else the default, else the first.

    ``within`` says within what it was chosen last, where it begins anew elsewhere.
    """
    own, last = _own(), f"last_{name} {within}"
    for one in (at(name), own.get(last), default):
        if one is not None and one in options:
            own[last] = one
            return str(one)
    return options[0]


def follow(name: str, widget: str, *clear: str) -> None:
    """Callback of a chooser: write its value into the address and forget what hung on the old one."""
    if changed(widget):
        move(**{name: get(widget), **dict.fromkeys(clear)})


def inject(name: str, value: Any, mark: Any) -> Given:
    """Give a widget its stored value, once for each stored version, so that half-typed text survives a rerun.

    A widget that shows something else is not overwritten: a new one takes its place. A browser goes on telling what
    the old one showed until the new one reaches it, and at first what it is drawn with. Under one key both would be
    taken for the reader's choice and undo what somebody else stored.
    """
    held = _given().get(name)
    shows = NOTHING if held is None else streamlit_workarounds.value(held.key, NOTHING)
    if held is not None and shows is not NOTHING:
        if held.mark == mark:
            return held
        if held.keep or shows == value:
            _given()[name] = replace(held, mark=mark, value=value, keep=False)
            return _given()[name]
    again = held is not None and shows is NOTHING and held.first == value
    key = name if held is None else held.key if again else f"{name}~{len(_known())}"
    _known()[key] = value
    _given()[name] = Given(key, value, mark, value)
    return _given()[name]


def _given() -> dict[str, Given]:
    given: dict[str, Given] = _own().setdefault("injected", {})
    return given


def _known() -> dict[str, Any]:
    """What each widget was last known to show."""
    known: dict[str, Any] = _own().setdefault("known", {})
    return known


def shown(name: str, default: Any = None) -> Any:
    """What a widget shows that was given its value by ``inject``."""
    held = _given().get(name)
    return default if held is None else streamlit_workarounds.value(held.key, default)


def changed(key: str) -> bool:
    """Whether the reader changed a widget, which is drawn under this key: not so where a browser repeats itself."""
    value = get(key)
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


def turn(form: str, subject: Hashable) -> int:
    """How many forms of this name went before the one to draw: another subject begins another."""
    turns: dict[str, tuple[int, Hashable]] = _own().setdefault("turns", {})
    held = turns.get(form)
    if held is None:
        turns[form] = (0, subject)
    elif held[1] != subject:
        turns[form] = (held[0] + 1, subject)
    return turns[form][0]


def handed_in(form: str, number: int) -> bool:
    """Whether this form was handed in already."""
    return (form, number) in _own().get("handed_in", ())


def hand_in(form: str, number: int) -> None:
    """Note that this form is handed in, and let an empty one follow."""
    own = _own()
    own.setdefault("handed_in", set()).add((form, number))
    turn, subject = own["turns"][form]
    if turn == number:
        own["turns"][form] = (number + 1, subject)


def news(key: str, value: Any) -> bool:
    """Whether a value differs from the one noted last, and note it."""
    own = _own()
    seen, own[f"news_{key}"] = own.get(f"news_{key}"), value
    return bool(seen != value)
