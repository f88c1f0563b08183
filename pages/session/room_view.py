"""The view of a session for a meeting room: read from three metres, without scrolling on a projector."""

from __future__ import annotations

import streamlit as st

from pages.ui import state

VIEW, ROOM = "view", "room"
"""Query parameter, so that the view survives a reload, and its value."""

_ROOM = """
@media (min-width: 1000px) {
html { font-size: 20px !important; }
[data-testid="stHeader"] { display: none; }
[data-testid="stMainBlockContainer"] { padding: 0.3rem 1.6rem 2rem; max-width: none; }
[data-testid="stVerticalBlock"] { gap: 0.4rem; }
[class*="st-key-choose_"] label, [class*="st-key-scope_"] label {
  position: absolute; width: 1px; height: 1px; min-height: 0; overflow: hidden; clip-path: inset(50%); }
.st-key-question { min-height: 6.9rem; }
.st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.45rem; line-height: 1.18; padding: 0; }
.st-key-question p { margin-bottom: 0; }
.st-key-question [data-testid="stMarkdownContainer"]:not(:has(p:last-child, ul:last-child)) { margin-bottom: 0; }
[class*="st-key-value_"] [role="radio"] * { font-size: 1.2rem; }
.st-key-said { min-height: 4.4rem; }
.st-key-beside_effect { min-height: 4.7rem; }
[data-testid="stColumn"]:has(.ladder, .rails) p { font-size: 1.15rem; }
}
"""


def is_on() -> bool:
    """Whether the screen is drawn for a meeting room."""
    return state.at(VIEW) == ROOM


def kept() -> dict[str, str]:
    """The query parameter that keeps the view on a link."""
    return {VIEW: ROOM} if is_on() else {}


def style() -> None:
    """Apply the style of the view, where it is on."""
    if is_on():
        st.html(f"<style>{_ROOM}</style>")


def switch() -> None:
    """Draw the button between the two views."""
    label, value = ("Ordinary view", None) if is_on() else ("Room view", ROOM)
    st.button(
        label,
        key="view",
        on_click=_turn,
        args=(value,),
        help="Question, answers, effect and progress on one screen, in type for a projector.",
    )


def _turn(value: str | None) -> None:
    state.move(**{VIEW: value})
