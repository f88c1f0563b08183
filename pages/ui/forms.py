"""Forms: entries stay until they are stored, and the outcome is shown below the button that was pressed.

The action runs in the button's callback, so that a press right after it cannot overtake it. It takes the values that
the fields have then, which may be newer than those drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Hashable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import streamlit as st

from checks.text.faults import Fault, Refused
from pages.ui import messages, state

Told = Mapping[str, Any]
"""Values of the fields of a form, by field name."""


class Form:
    """Fields that are submitted together.

    A new, empty form follows once the form is stored or its ``subject`` changes, such as the answer it belongs to:
    an entry about one subject must not be submitted for another. ``outside`` is for a form without ``st.form``, whose
    consequences are shown while it is filled in.
    """

    def __init__(self, name: str, subject: Hashable = None, *, outside: bool = False) -> None:
        self.name = name
        self.outside = outside
        self._turn = _turn(name, subject)
        self._keys: dict[str, str] = {}
        self._options: dict[str, Collection[Any]] = {}
        self._drawn_for: list[tuple[str, str, Any, str]] = []
        self._labels: list[str] = []

    def key(self, field: str, options: Collection[Any] | None = None) -> str:
        """Key of the widget of a field; ``options`` are the values of a chooser.

        A browser can keep a choice that is no longer among the options: it is refused on submission.
        """
        self._keys[field] = self._widget_key(field)
        if options is not None:
            self._options[field] = options
        return self._keys[field]

    def _widget_key(self, part: str) -> str:
        return f"{self.name}_{part}~{self._turn}" if self._turn else f"{self.name}_{part}"

    def drawn_for(self, place: str, key: str, value: Any, do: str) -> None:
        """Note the value of the chooser ``key`` for which the form is drawn: the form is refused once another is chosen.

        A chooser and the button can be pressed in quick succession; the user has then not seen what is submitted.
        ``place`` names the chooser in the refusal, and ``do`` says what to do.
        """
        self._drawn_for.append((place, key, value, do))

    @contextmanager
    def fields(self) -> Iterator[None]:
        """Draw fields and button inside this block; what is said after a press stands below it, for no name is asked in a form."""
        with st.form(self.name, border=False):
            yield
        for label in self._labels:
            messages.answered(self._place(label))

    def told(self) -> dict[str, Any]:
        """Present values of the fields."""
        return {field: state.get(key) for field, key in self._keys.items()}

    def button(self, label: str, deed: Callable[[Told], object], done: str, **how: Any) -> None:
        """Draw a button that submits the form; ``deed`` is its action, ``done`` the message after it.

        ``deed`` may raise what ``messages.attempt`` turns into messages.
        """
        draw = st.button if self.outside else st.form_submit_button
        key = self._widget_key(f"button {label}")
        draw(label, key=key, on_click=self._submit, args=(label, deed, done), **how)
        if self.outside:
            messages.answered(self._place(label))
        else:
            self._labels.append(label)

    def _place(self, label: str) -> str:
        return f"{self.name} {label}"

    def _submit(self, label: str, deed: Callable[[Told], object], done: str) -> None:
        """Callback: run the action once, even if the button is pressed again before the empty form is drawn."""
        if _handed_in(self.name, self._turn):
            return
        if messages.attempt(lambda: deed(self._checked()), done, self._place(label)):
            _hand_in(self.name, self._turn)

    def _checked(self) -> dict[str, Any]:
        """Values of the fields; raises Refused for a choice that is no option, or that differs from the one drawn."""
        values = self.told()
        faults = [
            Fault(place, "the selection has changed meanwhile", do)
            for place, key, value, do in self._drawn_for
            if state.get(key) != value
        ]
        faults += [
            Fault(field, "the selection is no longer on the list", "choose again")
            for field, options in self._options.items()
            for chosen in (values[field] if isinstance(values[field], list) else [values[field]])
            if chosen is not None and chosen not in options
        ]
        if faults:
            raise Refused(self.name, faults)
        return values


def distinct(names: Mapping[int, str]) -> dict[int, str]:
    """Names of events by event number; equal names get the number added.

    >>> distinct({3: "H-301", 7: "H-302", 9: "H-301"})
    {3: 'H-301 (event 3)', 7: 'H-302', 9: 'H-301 (event 9)'}
    """
    count = Counter(names.values())
    return {key: name if count[name] == 1 else f"{name} (event {key})" for key, name in names.items()}


def days(values: Told, *fields: str) -> dict[str, Any]:
    """Values of the fields with these date fields as ISO text; an empty date becomes an empty text."""
    return {**values, **{field: values[field].isoformat() if values[field] else "" for field in fields}}


def _turn(form: str, subject: Hashable) -> int:
    """Number of the form of this name to draw, from 0; a new subject starts a new form."""
    number, previous = state.get(f"turn {form}", (0, subject))
    now = number if previous == subject else number + 1
    state.put(f"turn {form}", (now, subject))
    return int(now)


def _handed_in(form: str, number: int) -> bool:
    """Whether this form is already submitted."""
    return number in state.get(f"handed in {form}", ())


def _hand_in(form: str, number: int) -> None:
    """Note that this form is submitted, and let an empty one follow."""
    state.put(f"handed in {form}", {*state.get(f"handed in {form}", ()), number})
    turn, subject = state.get(f"turn {form}")
    if turn == number:
        state.put(f"turn {form}", (number + 1, subject))
