"""Forms: what was typed stays until it is stored, and what came of it stands below the button that was pressed.

The deed is done in the button's callback, so that a press that follows at once cannot come before it; it takes what
the fields hold then, which may be newer than what was drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any

import streamlit as st

from pages.shared import frame, state

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

    def key(self, field: str) -> str:
        """Key of the widget of a field."""
        plain = f"{self.name}_{field}"
        self._keys[field] = f"{plain}~{self._turn}" if self._turn else plain
        return self._keys[field]

    def told(self) -> dict[str, Any]:
        """What the fields hold now."""
        return {field: state.get(key) for field, key in self._keys.items()}

    def button(self, label: str, deed: Callable[[Told], object], done: str, **how: Any) -> None:
        """A button that hands the form in: what it does, and what is said once it is done."""
        draw = st.button if self.outside else st.form_submit_button
        draw(label, on_click=self._hand_in, args=(label, deed, done), **how)
        frame.answered(self._place(label))

    def _place(self, label: str) -> str:
        return f"{self.name} {label}"

    def _hand_in(self, label: str, deed: Callable[[Told], object], done: str) -> None:
        """Callback: do it once, however often the button was pressed before an empty form was there."""
        if state.handed_in(self.name, self._turn):
            return
        if frame.attempt(lambda: deed(self.told()), done, self._place(label)):
            state.hand_in(self.name, self._turn)


def days(told: Told, *fields: str) -> dict[str, Any]:
    """What the fields hold, with days written out; an empty one as empty text."""
    return {**told, **{field: told[field].isoformat() if told[field] else "" for field in fields}}
