"""Style of a session, and its view for a meeting room: read from three metres, without scrolling on a projector."""

from __future__ import annotations

import streamlit as st

from pages.ui import frame, state

VIEW, ROOM = "view", "room"
"""Query parameter, so that the view survives a reload, and its value."""

_ALWAYS = """
.st-key-said { min-height: 4.5rem; gap: 0.3rem; }
.st-key-said [data-testid="stAlertContainer"] { padding: 0.45rem 0.8rem; min-height: 0; }
.st-key-said [data-testid="stAlertContainer"] p { font-size: 0.9rem; line-height: 1.3; }
.st-key-six [role="radio"][aria-checked="true"] {
  background: KEPT !important; border-color: INK !important; box-shadow: inset 0 0 0 2px INK; }
.st-key-six [role="radio"][aria-checked="true"] * { color: PAPER !important; -webkit-text-stroke: 0.6px PAPER; }
@media (min-width: 641px) {
.st-key-waits { flex-wrap: nowrap; gap: 0.5rem; }
.st-key-waits > [data-testid="stElementContainer"]:has([data-testid="stAlert"]) { flex: 1 1 0; min-width: 0; }
.st-key-waits > [data-testid="stElementContainer"]:not(:has([data-testid="stAlert"])) { flex: 0 0 auto; }
}
@media (max-width: 640px) { .st-key-said { min-height: 6.5rem; } }
"""
_ROOM = """
@media (min-width: 1000px) {
html { font-size: 20px !important; }
[data-testid="stHeader"] { display: none; }
[data-testid="stMainBlockContainer"] { padding: 0.4rem 1.6rem 2rem; max-width: none; }
[data-testid="stVerticalBlock"] { gap: 0.45rem; }
[class*="st-key-choose_"] label, [class*="st-key-scope_"] label {
  position: absolute; width: 1px; height: 1px; min-height: 0; overflow: hidden; clip-path: inset(50%); }
.st-key-question { min-height: 6.9rem; }
.st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.45rem; line-height: 1.18; padding: 0; }
.st-key-six [role="radio"] * { font-size: 1.2rem; }
.st-key-said { min-height: 4.2rem; }
.st-key-effect p { font-size: 1.15rem; }
}
"""


def is_on() -> bool:
    """Whether the screen is drawn for a meeting room."""
    return state.at(VIEW) == ROOM


def kept() -> dict[str, str]:
    """The query parameter that keeps the view on a link."""
    return {VIEW: ROOM} if is_on() else {}


def style() -> None:
    """Apply the style of a session."""
    colours = frame.palette()
    text = _ALWAYS + (_ROOM if is_on() else "")
    for name, colour in (("KEPT", colours.kept), ("INK", colours.ink), ("PAPER", colours.paper)):
        text = text.replace(name, colour)
    st.html(f"<style>{text}</style>")


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
