"""Faults of syntax: what to write instead, and the faults of the other blocks beside them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.plantfile import plant_file
from checks.text.faults import Refused
from checks.text.yaml_hints import quoted
from checks.text.yaml_text import parsed
from tests.checks.given import TEXT, changed, told

NAME, RATE = "name: Control system", "lambda_du_fit: 450"
BLOCK_STYLE = "format: 2\nplant:\n  name: P\n  note: {}\n"


@pytest.mark.parametrize(
    ("typed", "instead"),
    [
        ("name: Control: system", 'name: "Control: system"'),
        ("name: 'Bob's pump'", 'name: "Bob\'s pump"'),
        ("name: 'tis", 'name: "\'tis"'),
        ('name: "never closed', 'name: "never closed"'),
    ],
)
def test_a_colon_or_an_apostrophe_in_a_name_says_what_to_write(typed: str, instead: str) -> None:
    number = TEXT[: TEXT.index(NAME)].count("\n") + 1
    (line,) = told(changed((NAME, typed)))
    assert f"(line {number})" in line
    assert line.endswith(f"write the text in double quotes: {instead}")
    told_of_a_note = told(BLOCK_STYLE.format(typed.removeprefix("name: ")))
    assert instead.replace("name", "note") in told_of_a_note[0]


def test_what_it_says_to_write_is_read() -> None:
    assert plant_file.from_text("FILE", changed((NAME, 'name: "Control: system"'))).zones


def test_a_tab_says_what_to_write_in_its_place() -> None:
    (line,) = [line for line in told("format: 2\nplant:\n\tname: P\n") if "(line 3)" in line]
    assert "write two spaces in place of each tab" in line


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("lambda_du_fit: 0,9", "devices.PT.9 (line 10): unknown key; write 0.9 with a decimal point"),
        ("lambda_du_fit: '0,9'", "write 0.9, with a decimal point"),
        ("lambda_du_fit: many", "found 'many'"),
    ],
)
def test_a_decimal_comma_says_what_to_write(typed: str, words: str) -> None:
    (line,) = [line for line in told(changed((RATE, typed))) if words in line]
    assert ("decimal point" in line) == ("9" in typed)


def test_a_fault_of_syntax_does_not_hide_those_of_other_blocks() -> None:
    lines = told(changed((NAME, "name: Control: system"), (RATE, "lambda_du_fit: -1"), ("voting: 2oo3", "votin: 2oo3")))
    whole = told(changed((RATE, "lambda_du_fit: -1")))
    assert len(lines) == 3
    assert lines[0] in whole, "in the same words, at the same line"
    assert "(file) (line 18): not readable as YAML" in lines[1]
    assert "groups.pt-301.votin (line 28): unknown key" in lines[2]


def test_two_faults_of_syntax_are_both_listed_and_no_other_is_invented() -> None:
    lines = told(changed((NAME, "name: Control: system"), ("format: 1", "format: [1")))
    assert [("not readable" in line) for line in lines] == [True, True]


@given(st.text(alphabet=st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1))
def test_any_text_in_double_quotes_is_read_as_it_is(text: str) -> None:
    assert parsed("FILE", f"note: {quoted(text)}\n") == ({"note": text}, [])


def test_a_file_of_one_broken_block_is_refused_as_before() -> None:
    with pytest.raises(Refused, match=r"\(file\) \(line 2\): not readable as YAML"):
        plant_file.from_text("FILE", "{format: 1,\n}}")
