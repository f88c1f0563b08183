"""Cells of exported lists: a spreadsheet shows the text as typed and computes nothing."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

_SIGN = "[-=+@\uff1d\uff0b\uff0d\uff20\ufe66\ufe62\ufe63\ufe6b]"
"""Signs that begin a formula, in full width and small form too."""
_BLANK = "\u00ad\u200b\u2060\ufeff"
"""Characters without width beside those of white space."""
_FORMULA = re.compile(f"[\t\r]|[\\s{_BLANK}]*{_SIGN}")
_BEGINS = f"'*(?:[^\\S\t\r\n]|[{_BLANK}])*{_SIGN}"
_TO_GUARD = re.compile(f"^(?='*[\t\r]|{_BEGINS})|(?<=[;\t\r\n])(?={_BEGINS})")
_GUARDED = re.compile(f"^'(?='*[\t\r]|{_BEGINS})|(?<=[;\t\r\n])'(?={_BEGINS})")
"""Where a cell begins like a formula, for a program that divides it at semicolons, tabs or line ends too."""
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


def guarded(cell: str) -> str:
    """A cell that a spreadsheet shows as text: an apostrophe precedes anything that begins like a formula.

    The parts after a semicolon, a tab and a line end count too, as some programs divide a line there.

    >>> guarded("=1+1"), guarded("Z01"), guarded("a;=1+1")
    ("'=1+1", 'Z01', "a;'=1+1")
    """
    return _TO_GUARD.sub("'", cell)


def unguarded(cell: str) -> str:
    """A cell without the apostrophes that ``guarded`` added.

    >>> unguarded("'=1+1"), unguarded("'tis")
    ('=1+1', "'tis")
    """
    return _GUARDED.sub("", cell)


def begins_like_a_formula(cell: str) -> bool:
    """Whether a spreadsheet could read a cell as a formula."""
    return _FORMULA.match(cell) is not None


def one_line_break(text: str) -> str:
    """Text with uniform line breaks; spreadsheets change them."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def visible(text: str) -> str:
    r"""Text that a workbook can store: control characters become visible escapes.

    >>> visible("a\x01b")
    'a\\x01b'
    """
    return _NOT_IN_XML.sub(lambda match: match[0].encode("unicode_escape").decode(), one_line_break(text))


def in_workbook(text: str) -> str:
    """Text in its stored form, because a workbook reads ``_x0041_`` as a letter.

    Source: ECMA-376 Part 1, 22.9.2.19 ST_Xstring (from memory).

    >>> in_workbook("_x0041_")
    '_x005F_x0041_'
    """
    return _LOOKS_ESCAPED.sub("_x005F_", visible(text))


def from_workbook(text: str) -> str:
    r"""Text from its stored form.

    >>> from_workbook("_x005F_x0041_"), from_workbook("a_x000D_b")
    ('_x0041_', 'a\rb')
    """
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)


@dataclass(frozen=True, slots=True)
class Form:
    """How one file type writes text into a cell and reads it back."""

    written: Callable[[str], str]
    taken: Callable[[str], str] = str

    def same(self, cell: str, text: str) -> bool:
        """Whether a cell has the content that was written for this text."""
        return one_line_break(cell) == one_line_break(self.written(text))

    def read(self, cell: str) -> str:
        """Text of a cell."""
        return one_line_break(self.taken(cell))


IN_CSV, IN_WORKBOOK = Form(guarded, unguarded), Form(visible)


def csv_bytes(table: Iterable[Iterable[str]]) -> bytes:
    """CSV of guarded cells with a byte-order mark, so that spreadsheets read it as UTF-8."""
    buffer = io.StringIO()
    csv.writer(buffer, lineterminator="\r\n").writerows([guarded(cell) for cell in line] for line in table)
    return buffer.getvalue().encode("utf-8-sig")


def as_csv(rows: Sequence[dict[str, str]], lead: Sequence[str] = ()) -> bytes:
    """CSV of rows that have the same keys; ``lead`` are lines above the header."""
    head = [list(rows[0])] if rows else []
    return csv_bytes([*([line] for line in lead), *head, *(row.values() for row in rows)])
