"""State of one browser session. Only this module reads and writes session state and query parameters.

The work itself is in the database; this is only what a browser shows.

Streamlit interrupts a run for a newer request whenever the run reads the session state or a query parameter, in a
callback too, and the next run does not repeat the interrupted callback. To lose no answer between two quick presses,
callbacks read with ``streamlit_workarounds.value``, keep their values in ``_own``, and leave ``move`` to the next run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from secrets import token_hex
from typing import Any

import streamlit as st

from checks.access.roles import Person
from checks.access.sign_ins import NOBODY, NotSignedIn
from pages.web import identity, remembered, run_mode, streamlit_workarounds
from pages.web.remembered import STRANGER, Who

OWN = "own"
"""Session key of everything kept here besides the widgets."""
NOTHING = object()
"""Value of a widget that does not exist."""


class Gone(LookupError):
    """The address names something that cannot be shown: ``name`` is the query parameter, ``why`` a sentence if known."""

    def __init__(self, name: str, value: str, why: str = "") -> None:
        self.name, self.value, self.why = name, value, why
        super().__init__(f"{name}={value}")


@dataclass(frozen=True, slots=True)
class Given:
    """A widget that shows a stored value: its key, and the value ``first`` with which that key is first drawn.

    ``mark`` identifies the stored version last given to it and ``value`` is that version's value; ``keep`` leaves what
    was typed since.
    """

    key: str
    first: Any
    mark: Any
    value: Any
    keep: bool = False


def _own() -> dict[str, Any]:
    """Everything kept here besides the widgets; callers change it in place."""
    own: dict[str, Any] | None = streamlit_workarounds.value(OWN)
    if own is None:
        own = st.session_state[OWN] = {}
    return own


def get(key: str, default: Any = None) -> Any:
    """A value of this browser session: one stored by ``put``, else that of a widget."""
    own = streamlit_workarounds.value(OWN, {})
    return own[key] if key in own else streamlit_workarounds.value(key, default)


def put(key: str, value: Any) -> None:
    """Store a value for this browser session."""
    _own()[key] = value


def take(key: str) -> Any:
    """Return and remove a value of this browser session."""
    own = _own()
    return own.pop(key) if key in own else st.session_state.pop(key, None)


def writer() -> str:
    """Token of this browser session, to tell its own changes from those of others."""
    own = _own()
    if "writer" not in own:
        own["writer"] = token_hex(8)
    return str(own["writer"])


def who() -> str:
    """Self-declared name or role of the person at this browser, given here or remembered by it; empty if not given."""
    return _introduced().name


def roles() -> list[str]:
    """Roles selected at this browser; those of the team by default."""
    return list(_introduced().roles)


def _introduced() -> Who:
    """The person as introduced here, else as the browser remembered them when it connected."""
    if "introduced" not in _own():
        _own()["introduced"] = remembered.read(st.context.cookies) or STRANGER
    introduced: Who = _own()["introduced"]
    return introduced


def introduce(**fields: Any) -> None:
    """Change the name or the roles of the person at this browser, which remembers them."""
    who = replace(_introduced(), **fields)
    _own().update(introduced=who, remember=remembered.token(who))


def forget_me() -> None:
    """Forget the person at this browser, there too."""
    _own().update(introduced=STRANGER, remember=remembered.token(None))


def person() -> Person:
    """Person at this browser; on a server the signed-in person, or one without roles if nobody is signed in."""
    if run_mode.serving():
        try:
            return identity.person(identity.claims(), writer=writer())
        except NotSignedIn:
            return Person("", frozenset(), identity=NOBODY, writer=writer())
    return Person(who(), frozenset(roles()), writer=writer())


def at(name: str) -> str | None:
    """A query parameter of the address, after pending moves; None if absent or empty."""
    moves: dict[str, str | None] = _own().get("moves", {})
    return moves[name] if name in moves else st.query_params.get(name) or None


def address() -> dict[str, str]:
    """All query parameters of the address, after pending moves."""
    moves: dict[str, str | None] = _own().get("moves", {})
    return {name: value for name, value in {**st.query_params.to_dict(), **moves}.items() if value}


def move(**where: str | None) -> None:
    """Change query parameters at the end of the run; None removes one."""
    _own().setdefault("moves", {}).update(where)


def arrive(url_path: str) -> None:
    """Begin the run of a screen: count its arrivals, and drop moves that were made on another screen."""
    own = _own()
    if own.get("screen") != url_path:
        own["screen"], own["moves"] = url_path, {}
    if st.query_params.to_dict() != visited(url_path):
        own["arrivals"] = own.get("arrivals", 0) + 1


def screen() -> str:
    """The screen of the present run."""
    return str(_own().get("screen", ""))


def settle() -> None:
    """Write pending moves into the address, all in one entry of the browser's history."""
    moves, before = _own().get("moves", {}), st.query_params.to_dict()
    after = {name: value for name, value in {**before, **moves}.items() if value is not None}
    if after != before:
        st.query_params.from_dict(after)
    moves.clear()
    _own()[f"visited {screen()}"] = after


def visited(url_path: str) -> dict[str, str]:
    """The address at which a screen was last shown here."""
    address: dict[str, str] = _own().get(f"visited {url_path}", {})
    return address


def chosen(name: str, options: Sequence[str], default: str | None = None, *, within: str = "") -> str:
    """The option named by the address; raises Gone if it is no option, for another must not be shown in its place.

    Where the address names none: the last one chosen here, else the default, else the first, which the address then gets.
    The last choice is kept for each value of ``within``.
    """
    own, last, named = _own(), f"last_{name} {at('plant')} {within}", at(name)
    if named is not None and named not in options:
        raise Gone(name, named)
    preferred = (named, own.get(last), default, options[0])
    option = str(next(option for option in preferred if option is not None and option in options))
    own[last] = option
    if named is None:
        move(**{name: option})
    return option


def follow(name: str, widget: str, *clear: str) -> None:
    """Callback of a chooser: write its value into the address and clear the parameters that depend on it."""
    if changed(widget):
        move(**{name: get(widget), **dict.fromkeys(clear)})


def inject(name: str, value: Any, mark: Any) -> Given:
    """Give a widget its stored value, once per stored version (``mark``), so that half-typed text survives a rerun.

    A widget that shows another value is replaced by one with a new key, not overwritten: until the browser has drawn
    the new widget it keeps sending the value of the old one, and then the value it is drawn with. Under one key both
    would count as the reader's choice and undo what somebody else stored.
    """
    widget = _widgets().get(name)
    shown_value = NOTHING if widget is None else streamlit_workarounds.value(widget.key, NOTHING)
    if widget is not None and shown_value is not NOTHING:
        if widget.mark == mark:
            return widget
        if widget.keep or shown_value == value:
            _widgets()[name] = replace(widget, mark=mark, value=value, keep=False)
            return _widgets()[name]
    same = widget is not None and shown_value is NOTHING and widget.first == value
    key = name if widget is None else widget.key if same else f"{name}~~{len(_known())}"
    _known()[key] = value
    _widgets()[name] = Given(key, value, mark, value)
    return _widgets()[name]


def _widgets() -> dict[str, Given]:
    """Widgets that were given a stored value, by name."""
    widgets: dict[str, Given] = _own().setdefault("injected", {})
    return widgets


def _known() -> dict[str, Any]:
    """Last known value of each widget, by key."""
    known: dict[str, Any] = _own().setdefault("known", {})
    return known


def shown(name: str, default: Any = None) -> Any:
    """Value shown by a widget that ``inject`` filled."""
    widget = _widgets().get(name)
    return default if widget is None else streamlit_workarounds.value(widget.key, default)


def changed(key: str) -> bool:
    """Whether the reader changed the widget of this key; False where a browser only repeats a known value."""
    value = get(key)
    before, _known()[key] = _known().get(key), value
    return bool(value != before)


def typed(*names: str) -> list[str]:
    """Those of these widgets that show something else than the value stored for them."""
    widgets = _widgets()
    return [name for name in names if name in widgets and shown(name, widgets[name].value) != widgets[name].value]


def keep(*names: str) -> bool:
    """Leave what was typed into these widgets although another value is stored; returns whether anything was typed."""
    widgets = _widgets()
    kept = typed(*names)
    for name in kept:
        widgets[name] = replace(widgets[name], mark=None, keep=True)
    return bool(kept)


def forget(*names: str) -> None:
    """Let these widgets take their stored value on the next run, whatever they show."""
    widgets = _widgets()
    for name in names:
        if name in widgets:
            widgets[name] = replace(widgets[name], mark=None)
