"""Typed text on the screens: no link, symbol or sign comes of it, and it turns no words of the program around.

What Streamlit's frontend makes of text, beyond Markdown, is read from its script: addresses and names of symbols
are searched after the escapes are resolved. `tests/browser/test_markup_in_names.py` looks at the result in a browser.
"""

from __future__ import annotations

import re

import pytest

from pages.presentation.direction import isolated
from pages.presentation.html_table import html_table
from pages.presentation.palette import LIGHT
from pages.presentation.wording import author, escaped, in_chart, titled
from tests.pages.shown import unescaped

SEARCHED = re.compile(
    r"https?://|www(?=\.)|[-.\w+]@[-\w]+\.[-\w]|:material[_/]|:streamlit:|(?:^|\s)(?:<->|->|<-|--|>=|<=|~=)(?:\s|$)",
    re.IGNORECASE,
)
"""What is searched in a piece of text: addresses (GitHub Flavored Markdown, autolinks), symbols and arrows (Streamlit)."""


@pytest.mark.parametrize(
    "text",
    [
        "see https://docs.example/4?a=1 and HTTP://b.example",
        "www.example.org, WWW.EXAMPLE.ORG",
        "r.hale@site.example (r+1@site.example)",
        ":material/home: :material_home: :streamlit:",
        "a <= b, c >= d",
        "a <= b -> c <- d <-> e -- f >= g ~= h",
        "->",
    ],
)
def test_no_piece_of_typed_text_holds_what_the_frontend_replaces(text: str) -> None:
    shown = escaped(text)
    assert SEARCHED.search(text)
    pieces = [re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", piece) for piece in shown.split(":small[]")]
    assert not [piece for piece in pieces if SEARCHED.search(piece)]
    assert ":material/" not in shown
    assert unescaped(shown) == text


@pytest.mark.parametrize(
    "text", ["2oo3", "R. Hale", "Łukasz Żółć", "at 12:30:15", "山田 太郎", "a\nb", "5 µm ± 2 °C", ""]
)
def test_ordinary_text_stays_byte_by_byte(text: str) -> None:
    assert isolated(text) == text
    assert in_chart(text) == text
    assert titled("S30", text) == (f"S30  {text}" if text else "S30")
    assert ":small[]" not in escaped(text)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("שלום", "\u2068שלום\u2069"),
        ("a\u202eb", "a⟨U+202E⟩b"),
        ("\u200f(3oo2)", "⟨U+200F⟩(3oo2)"),
        ("שלום\u202e", "\u2068שלום⟨U+202E⟩\u2069"),
        ("a\u2069 b", "a⟨U+2069⟩ b"),
        ("\u2068שלום", "\u2068⟨U+2068⟩שלום\u2069"),
        ("\u2067a\u2069", "⟨U+2067⟩a⟨U+2069⟩"),
        ("שלום\na", "\u2068שלום\u2069\na"),
        ("١٢", "\u2068١٢\u2069"),
    ],
    ids=ascii,
)
def test_right_to_left_text_is_isolated_and_direction_controls_are_made_visible(text: str, shown: str) -> None:
    assert isolated(text) == shown
    assert in_chart(text) == shown
    assert unescaped(escaped(text)) == shown


def test_what_stands_beside_a_typed_name_is_outside_its_isolate() -> None:
    assert author("שלום", "FA-2") == "\u2068שלום\u2069, imported by FA-2"
    assert escaped(author("שלום", "FA-2")).count("⟨") == 0
    assert titled("S30", "שלום") == "S30  \u2068שלום\u2069"


def test_a_cell_of_a_table_is_isolated_too() -> None:
    shown = html_table([{"A": "שלום\u202e", "B": "(2oo3)"}], "x", LIGHT)
    assert "\u2068שלום⟨U+202E⟩\u2069</th>" in shown
    assert "\u202e" not in shown
