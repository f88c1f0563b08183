"""Text in cells: shown as typed, never computed, and read back unchanged."""

from __future__ import annotations

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.escape import unescape

from checks.spreadsheets.cells import (
    IN_CSV,
    IN_WORKBOOK,
    begins_like_a_formula,
    csv_bytes,
    from_workbook,
    guarded,
    in_workbook,
    unguarded,
    visible,
)
from tests.checks.draws import texts


@given(texts())
def test_no_guarded_cell_begins_like_a_formula(text: str) -> None:
    assert not begins_like_a_formula(guarded(text))


@given(texts())
def test_a_guard_comes_off_again(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(st.text(alphabet="'=-\uff1d;\t\r\n \xa0\u200ba"))
def test_a_guard_comes_off_again_of_whatever_looks_like_one(text: str) -> None:
    assert unguarded(guarded(text)) == text
    for part in re.split("[;\t\r\n]", guarded(text)):
        assert not begins_like_a_formula(part)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a;=HYPERLINK(1)", "a;'=HYPERLINK(1)"),
        ("a\n=1+1", "a\n'=1+1"),
        ("a\r\n @SUM(1)", "a\r\n' @SUM(1)"),
        ("a\t-1", "a\t'-1"),
        ("\xa0=1+1", "'\xa0=1+1"),
        ("\u3000+1", "'\u3000+1"),
        ("\u200b=1", "'\u200b=1"),
        ("\uff1d1+1", "'\uff1d1+1"),
        ("\uff20SUM(1)", "'\uff20SUM(1)"),
        ("\n=1", "\n'=1"),
        ("\t=1", "'\t'=1"),
        ("'=1", "''=1"),
        ("a = b; c - d", "a = b; c - d"),
        ("2025-03-04", "2025-03-04"),
    ],
    ids=ascii,
)
def test_a_formula_is_guarded_wherever_a_spreadsheet_may_begin_a_cell(text: str, written: str) -> None:
    """Separators and signs: what spreadsheet programs accept in other settings and widths, from memory."""
    assert guarded(text) == written
    assert unguarded(written) == text


@given(st.lists(st.lists(texts(), min_size=2, max_size=4), max_size=4))
def test_a_csv_file_reads_as_the_guarded_cells_with_the_csv_module(table: list[list[str]]) -> None:
    raw = csv_bytes(table)
    read = list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))
    assert read == [[guarded(cell) for cell in line] for line in table]


@given(texts())
def test_a_text_in_a_workbook_reads_back_visible(text: str) -> None:
    assert from_workbook(in_workbook(text)) == visible(text)


@given(texts())
def test_openpyxl_undoes_the_escapes_of_a_workbook_too(text: str) -> None:
    assert unescape(in_workbook(text)) == visible(text)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\x00b", "a\\x00b"),
        ("\x1f", "\\x1f"),
        ("\ufffe\uffff", "\\ufffe\\uffff"),
        ("\r\n\r", "\n\n"),
        ("\t\n", "\t\n"),
        ("\x7f\x85\u2028\U0001f3ed", "\x7f\x85\u2028\U0001f3ed"),
    ],
)
def test_what_a_workbook_cannot_hold_is_shown_as_its_escape(text: str, shown: str) -> None:
    assert visible(text) == shown


@given(texts())
def test_a_cell_is_the_same_as_the_text_that_was_written_into_it_however_lines_end(text: str) -> None:
    for form in (IN_CSV, IN_WORKBOOK):
        assert form.same(form.written(text), text)
        assert form.same(re.sub("\r\n|\r|\n", "\r\n", form.written(text)), text)
