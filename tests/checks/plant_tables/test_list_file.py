"""Lists that are too large or made to take long: each is refused, or read with little work."""

from __future__ import annotations

from xml.parsers import expat

import pytest

from checks.plant_tables import list_file, matching
from checks.plant_tables.list_file import LIST
from checks.plant_tables.matching import split_unit
from checks.spreadsheets import csv_text
from checks.spreadsheets import workbook as read_workbook
from checks.text.faults import Refused
from tests.checks.actions.lists import packed
from tests.checks.spreadsheets.books import book


def _refusal(name: str, raw: bytes) -> str:
    with pytest.raises(Refused) as caught:
        list_file.read(name, raw)
    return str(caught.value)


def test_one_sheet_under_many_names_is_read_once() -> None:
    names = "".join(f'<sheet name="s{at}" r:id="r1"/>' for at in range(400))
    assert "the part xl/worksheets/sheet1.xml is there twice" in _refusal("x.xlsx", packed(book("", sheets=names)))


def test_the_parts_of_a_workbook_share_one_limit_of_elements() -> None:
    half = LIST.elements // 2
    raw = packed(book("<row/>" * half, texts="<si/>" * half))
    assert f"more elements than a list has; at most {LIST.elements:,}" in _refusal("x.xlsx", raw)


def test_a_text_of_many_lines_takes_no_call_for_each(monkeypatch: pytest.MonkeyPatch) -> None:
    joined: list[int] = []

    create = expat.ParserCreate

    class Parser:
        def __init__(self) -> None:
            object.__setattr__(self, "parser", create())

        def __getattr__(self, name: str) -> object:
            return getattr(self.parser, name)

        def __setattr__(self, name: str, value: object) -> None:
            if name == "CharacterDataHandler":
                taken = value

                def counted(text: str) -> None:
                    joined.append(len(text))
                    taken(text)  # type: ignore[operator]

                value = counted
            setattr(self.parser, name, value)

    monkeypatch.setattr(read_workbook.expat, "ParserCreate", Parser)
    lines = "\n" * 2_000_000
    assert "of more than 32,767 characters" in _refusal(
        "x.xlsx", packed(book(f"<row><c t='str'><v>{lines}</v></c></row>"))
    )
    assert sum(joined) >= len(lines)
    assert len(joined) < 100


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("id,name\n" + "\n" * csv_text.MOST_LINES, "more rows than a list has"),
        ("id,name\n" + "a,b\n" * LIST.rows, "more rows than a list has"),
        (
            "id" + "," * LIST.columns + "x\n",
            f"a cell in column {LIST.columns + 1} of row 1; at most {LIST.columns} columns",
        ),
    ],
)
def test_a_csv_file_larger_than_a_list_is_refused(text: str, found: str) -> None:
    assert found in _refusal("x.csv", text.encode())


def test_empty_columns_beyond_the_last_are_left_out() -> None:
    ((table),) = list_file.read("x.csv", b"id,name" + b"," * 5000 + b"\nPT,x\n")
    assert {len(cells) for _, cells in table.rows} == {LIST.columns, 2}


def test_a_long_text_is_no_head() -> None:
    longest = "a" * (matching.LONGEST_HEAD - 4) + " [h]"
    assert split_unit(longest) == ("a" * (matching.LONGEST_HEAD - 4), "h")
    assert split_unit(f"{longest} ") == ("", "")
