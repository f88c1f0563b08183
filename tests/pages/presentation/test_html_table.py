"""A table of HTML shows every cell as typed, under its column, whatever the rows hold."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pages.presentation.direction import isolated
from pages.presentation.html_table import html_table
from pages.presentation.palette import LIGHT
from tests.pages.shown import read_tables

WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12)
ROWS = st.lists(st.dictionaries(WORDS.filter(bool), WORDS, min_size=1, max_size=4), min_size=1, max_size=4)


@given(ROWS, WORDS)
def test_every_cell_is_read_back_under_its_column(rows: list[dict[str, str]], alt: str) -> None:
    ((name, names, lines),) = read_tables(html_table(rows, alt, LIGHT))
    assert name == alt
    assert names == list(dict.fromkeys(key for row in rows for key in row))
    assert [dict(zip(names, line, strict=True)) for line in lines] == [
        {key: isolated(row.get(key, "")) for key in names} for row in rows
    ]


def test_a_line_break_in_a_cell_stays_one() -> None:
    ((_, _, lines),) = read_tables(html_table([{"What": "first\nsecond"}], "Lines", LIGHT))
    assert lines == [["first\nsecond"]]
