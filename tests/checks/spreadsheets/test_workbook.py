"""Workbooks as other programs save them: each type of cell is read as the text that a person sees."""

from __future__ import annotations

import pytest

from checks.spreadsheets.sheet import ACTION_LIST, LONGEST, MOST_ROWS
from checks.spreadsheets.workbook import rows
from tests.checks.actions.lists import packed, said
from tests.checks.spreadsheets.books import MAIN, book, related


def read(named: dict[str, bytes | str]) -> list[tuple[int, list[str]]]:
    return rows("FILE", packed(named), sheet="Actions")


def test_shared_texts_are_found_with_their_runs_and_without_their_phonetic_aid() -> None:
    texts = "<si><t>plain</t></si><si><r><t>in </t></r><r><rPr><b/></rPr><t xml:space='preserve'>two </t></r></si>"
    texts += "<si><t>\u6e29\u5ea6</t><rPh sb='0' eb='2'><t>\u30aa\u30f3\u30c9</t></rPh></si><si><t>a_x000D_b _x005F_x0041_</t></si>"
    cells = "".join(f'<c r="{letter}3" t="s"><v>{at}</v></c>' for at, letter in enumerate("ABCD"))
    assert read(book(f'<row r="3">{cells}</row>', texts=texts)) == [
        (3, ["plain", "in two ", "\u6e29\u5ea6", "a\rb _x0041_"])
    ]


def test_cells_of_every_kind_are_read_as_text() -> None:
    sheet = (
        '<row r="1"><c r="A1" t="inlineStr"><is><t>in line</t></is></c><c r="B1" t="str"><v>of a formula</v></c>'
        '<c r="C1" t="b"><v>1</v></c><c r="D1" t="e"><v>#N/A</v></c><c r="E1"><v>42</v></c><c r="F1"><v>4.5E-1</v></c>'
        '<c r="G1"><f>SUM(A1)</f><v>7</v></c><c r="H1" t="d"><v>2025-03-04T00:00:00</v></c><c r="I1"/>'
        '<c r="AA1"><v>1e3</v></c></row><row><c><v>2</v></c><c><v>3</v></c></row>'
    )
    first = ["in line", "of a formula", "TRUE", "#N/A", "42", "4.5E-1", "=SUM(A1)", "2025-03-04"]
    assert read(book(sheet)) == [(1, [*first, *[""] * 18, "1000"]), (2, ["2", "3"])]


DAYS = '<numFmts><numFmt numFmtId="170" formatCode="dd\\.mm\\.yyyy"/><numFmt numFmtId="171" formatCode="0.0&quot;d&quot;"/></numFmts>'
DAYS += '<cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="170"/><xf numFmtId="171"/></cellXfs>'


@pytest.mark.parametrize(("about", "day"), [("", "2025-03-04"), ('<workbookPr date1904="1"/>', "2029-03-05")])
def test_a_number_in_the_style_of_a_day_is_that_day(about: str, day: str) -> None:
    # 4 March 2025 is day 45720 where 1 January 1900 is day 1 and 1900 counts as a leap year; from 1904 it is 1462 later.
    cells = "".join(f'<c r="{letter}1" s="{style}"><v>45720</v></c>' for style, letter in enumerate("ABCD"))
    assert read(book(f'<row r="1">{cells}</row>', styles=DAYS, about=about)) == [(1, ["45720", day, day, "45720"])]


def test_an_impossible_date_stays_a_number() -> None:
    cells = "".join(f'<c s="1"><v>{number}</v></c>' for number in ("1e300", "nan", "45720.5", "x", "-9e9"))
    ((_, texts),) = read(book(f"<row>{cells}</row>", styles=DAYS))
    assert texts == ["1e300", "nan", "45720.5", "x", "-9e9"]


def test_the_sheet_of_actions_is_read_in_any_position_and_the_first_sheet_where_there_is_none() -> None:
    named = book("<row><c><v>1</v></c></row>", sheets='<sheet name="x" r:id="r1"/><sheet name="Actions" r:id="r4"/>')
    named["xl/_rels/workbook.xml.rels"] = related(
        ("worksheet", "worksheets/sheet1.xml"),
        ("sharedStrings", "sharedStrings.xml"),
        ("styles", "styles.xml"),
        ("worksheet", "worksheets/two.xml"),
    )
    named["xl/worksheets/two.xml"] = "<worksheet><row><c><v>2</v></c></row></worksheet>"
    assert read(named) == [(1, ["2"])]
    named["xl/workbook.xml"] = str(named["xl/workbook.xml"]).replace('"Actions"', '"other"')
    assert read(named) == [(1, ["1"])]


def test_elements_may_have_a_prefix() -> None:
    named = book("")
    named["xl/worksheets/sheet1.xml"] = (
        f'<x:worksheet xmlns:x="{MAIN}"><x:row r="2"><x:c r="B2"><x:v>5</x:v></x:c></x:row></x:worksheet>'
    )
    assert read(named) == [(2, ["", "5"])]


def test_a_sheet_larger_than_an_action_list_is_refused() -> None:
    wide = book(f"<row>{'<c><v>1</v></c>' * (ACTION_LIST.columns + 1)}</row>")
    assert (
        said(packed(wide))
        == f"(file): a cell in column {ACTION_LIST.columns + 1} of row 1; at most {ACTION_LIST.columns} columns"
    )
    long = book("<row><c><v>1</v></c></row>" * (MOST_ROWS + 1))
    assert said(packed(long)) == f"(file): more rows than an action list has; at most {MOST_ROWS:,}"
    big = book(f'<row><c t="str"><v>{"x" * (LONGEST + 1)}</v></c></row>')
    assert said(packed(big)) == f"(file): a cell in row 1 of more than {LONGEST:,} characters; at most {LONGEST:,}"


@pytest.mark.parametrize(
    "sheet",
    [
        '<row r="x"/>',
        '<row r="99999999999"/>',
        '<row r="-1"/>',
        '<row><c t="s"><v>0</v></c></row>',
        '<row><c t="s"><v>-1</v></c></row>',
        '<row><c t="s"><v/></c></row>',
    ],
)
def test_a_malformed_sheet_is_refused(sheet: str) -> None:
    assert said(packed(book(sheet))).startswith("(file): ")
