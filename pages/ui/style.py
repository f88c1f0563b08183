"""The style of every screen, beyond the theme, in one element: each costs a click time."""

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
[data-testid="stElementContainer"]:has(> [data-testid="stHtml"] img[src^="/remember"], > [data-testid="stHtml"] script) { position: absolute; }
.st-key-screens { border-left: 1px solid QUIET; padding-left: 0.5rem; }
LINKS { padding-left: 0; padding-right: 0; background: none; }
LINKS p { color: KEPT; line-height: 1.35; text-decoration: underline; text-underline-offset: 0.2em; white-space: normal; }
LINKS :is(span, div) { white-space: normal; overflow: visible; }
LINKS:is(:hover, :active) p { text-decoration-thickness: 2px; }
[data-testid="stMarkdownContainer"] h2 { padding: 0.1rem 0 0.3rem; font-size: 1.5rem; }
.st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.5rem; line-height: 1.3; padding: 0 0 0.4rem; }
[data-testid="stMarkdownContainer"] h3 { font-size: 1.15rem; padding: 0.6rem 0 0.2rem; }
[data-testid="stMarkdownContainer"] table { font-size: 0.9rem; }
[data-testid="stMarkdownContainer"] :is(td, th) { padding: 0.18rem 0.55rem; white-space: nowrap; }
[data-testid="stCaptionContainer"] { opacity: 1; }
[data-testid="stCaptionContainer"] * { color: QUIET; }
[data-testid="stBaseButton-primary"]:not(:disabled) * { color: PAPER; }
[data-testid="stBaseButton-primary"]:not(:disabled):is(:hover, :focus, :active) { background: KEPT; border-color: INK; }
@media (max-width: 640px) { .st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.2rem; } }
.st-key-lessons { min-height: 14rem; }
.st-key-beside_effect { min-height: 4.1rem; }
.st-key-beside_effect p { line-height: 1.35; }
:is(.st-key-beside_set, .st-key-beside_reach) { min-height: 5rem; }
.st-key-said { min-height: 4.5rem; gap: 0.3rem; }
.st-key-said [data-testid="stAlertContainer"] { padding: 0.45rem 0.8rem; min-height: 0; }
.st-key-said [data-testid="stAlertContainer"] p { font-size: 0.9rem; line-height: 1.3; }
[class*="st-key-value_"] [role="radio"][aria-checked="true"] {
  background: KEPT !important; border-color: INK !important; box-shadow: inset 0 0 0 2px INK; }
[class*="st-key-value_"] [role="radio"][aria-checked="true"] * { color: PAPER !important; -webkit-text-stroke: 0.6px PAPER; }
@media (min-width: 641px) {
.st-key-waits { flex-wrap: nowrap; gap: 0.5rem; }
.st-key-waits > [data-testid="stElementContainer"]:has([data-testid="stAlert"]) { flex: 1 1 0; min-width: 0; }
.st-key-waits > [data-testid="stElementContainer"]:not(:has([data-testid="stAlert"])) { flex: 0 0 auto; }
}
@media (max-width: 640px) {
.st-key-lessons { min-height: 34rem; }
.st-key-beside_set { min-height: 11.5rem; }
.st-key-beside_reach { min-height: 14.5rem; }
.st-key-said { min-height: 6.5rem; }
.st-key-texts > *, .st-key-places > [data-testid="stElementContainer"]:has([data-testid="stSelectbox"]) { flex: 1 1 100% !important; }
}
</style>"""

LINKS = '[data-testid="stMainBlockContainer"] [data-testid="stPageLink-NavLink"]:not(.st-key-sections *)'
"""Links to screens outside the navigation. Streamlit shows them like plain text, and cuts off what does not fit."""


def put(colours: Palette) -> None:
    """Put the style on the screen."""
    st.html(colours.style(_STYLE.replace("LINKS", LINKS)))
