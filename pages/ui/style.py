"""The style of every screen, beyond the theme."""

from __future__ import annotations

import streamlit as st

from pages.presentation.palette import Palette

_STYLE = """<style>
html, body, [data-testid="stMarkdownContainer"] { font-variant-numeric: tabular-nums; }
[data-testid="stMainBlockContainer"] { padding-top: 4.2rem; padding-bottom: 3rem; max-width: 1320px; }
@media (min-width: 1000px) {
  [data-testid="stMainBlockContainer"] { padding-top: 1.2rem; }
  [data-testid="stHeader"] { background: none; }
  [data-testid="stHeader"], [data-testid="stHeader"] * { pointer-events: none; }
  [data-testid="stHeader"] :is(button, button *) { pointer-events: auto; }
}
[data-testid="stElementContainer"]:has(> [data-testid="stHtml"] img[src^="/remember"]) { position: absolute; }
.st-key-screens { border-left: 1px solid QUIET; padding-left: 0.5rem; }
[data-testid="stMarkdownContainer"] h2 { padding: 0.1rem 0 0.3rem; font-size: 1.5rem; }
.st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.5rem; line-height: 1.3; padding: 0 0 0.4rem; }
[data-testid="stMarkdownContainer"] h3 { font-size: 1.15rem; padding: 0.6rem 0 0.2rem; }
[data-testid="stMarkdownContainer"] table { font-size: 0.9rem; }
[data-testid="stMarkdownContainer"] :is(td, th) { padding: 0.18rem 0.55rem; white-space: nowrap; }
[data-testid="stCaptionContainer"] { opacity: 1; }
[data-testid="stCaptionContainer"] * { color: QUIET; }
[data-testid="stBaseButton-primary"]:not(:disabled) * { color: PAPER; }
@media (max-width: 640px) { .st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.2rem; } }
</style>"""


def put(colours: Palette) -> None:
    """Put the style on the screen."""
    st.html(_STYLE.replace("QUIET", colours.quiet).replace("PAPER", colours.paper))
