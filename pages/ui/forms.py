"""Forms: what was typed stays until it is stored, and what came of it stands below the button that was pressed.

The deed is done in the button's callback, so that a press that follows at once cannot come before it; it takes what
the fields hold then, which may be newer than what was drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Hashable, Mapping
from typing import Any

import streamlit as st

from checks.text.faults import Fault, Refused
from pages.ui import messages, state

Told = Mapping[str, Any]
"""What the fields of a form hold, by name."""


class Form:
    """Fields that are handed in together.

    A stored form is followed by an empty one, and so is that of another ``subject``, such as the answer it is beside:
    what was typed about one shall not be handed in about another. ``outside`` is for a form without ``st.form``, whose
    consequences are shown while it is filled in.
    """

    def __init__(self, name: str, subject: Hashable = None, *, outside: bool = False) -> None:
        self.name = name
        self.outside = outside
        self._turn = state.turn(name, subject)
        self._keys: dict[str, str] = {}
        self._options: dict[str, Collection[Any]] = {}
        self._drawn_for: list[tuple[str, str, Any, str]] = []

    def key(self, field: str, options: Collection[Any] | None = None) -> str:
        """Key of the widget of a field; ``options`` are those of which one or several are chosen.

        A browser can hold on to a choice that has left the list: it is refused when it is handed in.
        """
        self._keys[field] = self._of_turn(field)
        if options is not None:
            self._options[field] = options
        return self._keys[field]

    def _of_turn(self, part: str) -> str:
        return f"{self.name}_{part}~{self._turn}" if self._turn else f"{self.name}_{part}"

    def drawn_for(self, place: str, key: str, value: Any, do: str) -> None:
        """Say for which value of the chooser ``key`` the form was drawn: it is refused once another is chosen.

        A chooser and the button can be pressed in one breath, and then nobody has seen what is handed in. ``place`` names
        the chooser in the refusal, and ``do`` what to do.
        """
        self._drawn_for.append((place, key, value, do))

    def told(self) -> dict[str, Any]:
        """What the fields hold now."""
        return {field: state.get(key) for field, key in self._keys.items()}

    def button(self, label: str, deed: Callable[[Told], object], done: str, **how: Any) -> None:
        """A button that hands the form in: what it does, and what is said once it is done."""
        draw = st.button if self.outside else st.form_submit_button
        key = self._of_turn(f"button {label}")
        draw(label, key=key, on_click=self._hand_in, args=(label, deed, done), **how)
        messages.answered(self._place(label))

    def _place(self, label: str) -> str:
        return f"{self.name} {label}"

    def _hand_in(self, label: str, deed: Callable[[Told], object], done: str) -> None:
        """Callback: do it once, however often the button was pressed before an empty form was there."""
        if state.handed_in(self.name, self._turn):
            return
        if messages.attempt(lambda: deed(self._checked()), done, self._place(label)):
            state.hand_in(self.name, self._turn)

    def _checked(self) -> dict[str, Any]:
        """What the fields hold; raises Refused where a choice is none of its list, or was not what was drawn."""
        told = self.told()
        wrong = [
            Fault(place, "another one was chosen meanwhile", do)
            for place, key, value, do in self._drawn_for
            if state.get(key) != value
        ]
        wrong += [
            Fault(field, "what was chosen is no longer on the list", "choose again")
            for field, options in self._options.items()
            for chosen in (told[field] if isinstance(told[field], list) else [told[field]])
            if chosen is not None and chosen not in options
        ]
        if wrong:
            raise Refused(self.name, wrong)
        return told


def distinct(names: Mapping[int, str]) -> dict[int, str]:
    """Names to choose from, by the number of an event: two that read alike are told apart by it.

    >>> distinct({3: "H-301", 7: "H-302", 9: "H-301"})
    {3: 'H-301 (event 3)', 7: 'H-302', 9: 'H-301 (event 9)'}
    """
    count = Counter(names.values())
    return {key: name if count[name] == 1 else f"{name} (event {key})" for key, name in names.items()}


def days(told: Told, *fields: str) -> dict[str, Any]:
    """What the fields hold, with days written out; an empty one as empty text."""
    return {**told, **{field: told[field].isoformat() if told[field] else "" for field in fields}}
