"""Hostile files: each is rejected quickly, with little memory and with a reason."""

from __future__ import annotations

import io
import random
import re
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checks.actions.action_rules import Action
from checks.spreadsheets.sheet import ACTION_LIST, MOST_ROWS
from checks.spreadsheets.workbook import MOST_BYTES, rows
from checks.text.faults import Refused
from tests.checks.actions.drawn import action
from tests.checks.actions.lists import asked, packed, parts, said, told, written
from tests.checks.spreadsheets.books import book, related

SECONDS = 20
"""Processor time, which does not depend on the load of the machine; two are enough."""

TOO_MANY = 1_100_000
"""Elements: a tenth more than the limit."""
MEMORY = 256 * 1024 * 1024


def _bomb() -> bytes:
    """A part of 512 megabytes of spaces, packed into half of one."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in book("").items():
            archive.writestr(name, content)
        with archive.open("xl/worksheets/sheet2.xml", "w") as part:
            for _ in range(512):
                part.write(b" " * 1024 * 1024)
    return buffer.getvalue()


def _bomb_that_lies() -> bytes:
    """The sheet unpacks to 100 megabytes, but the archive states a small size."""
    size = 100 * 1024 * 1024
    raw = bytearray(packed({**book(""), "xl/worksheets/sheet1.xml": b" " * size}))
    stated = size.to_bytes(4, "little")
    assert raw.count(stated) >= 2
    return bytes(raw.replace(stated, (1000).to_bytes(4, "little")))


def _bomb_of_layers() -> bytes:
    """A hundred entries that all name the same packed megabytes."""
    raw = packed({"xl/a": b" " * (10 * 1024 * 1024)})
    start = raw.index(b"PK\x01\x02")
    end = raw.index(b"PK\x05\x06")
    entry = raw[start:end] * 100
    count, length = (100).to_bytes(2, "little"), len(entry).to_bytes(4, "little")
    return raw[:start] + entry + raw[end : end + 8] + count + count + length + raw[end + 16 :]


def _encrypted() -> bytes:
    raw = packed(book(""), zipfile.ZIP_STORED)
    encrypted, at = bytearray(raw), 0
    while (at := raw.find(b"PK\x01\x02", at)) >= 0:
        encrypted[at + 8] |= 1
        at += 4
    return bytes(encrypted)


def _laughs(part: str) -> bytes:
    """Entities that contain the previous one ten times: a billion in total."""
    entities = "".join(f'<!ENTITY l{at} "{f"&l{at - 1};" * 10}">' for at in range(1, 10))
    declared = f'<!DOCTYPE x [<!ENTITY l0 "ha">{entities}]>'
    return packed({**book(""), part: f"{declared}<x>&l9;</x>"})


def _outside() -> bytes:
    declared = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
    return packed({**book(""), "xl/worksheets/sheet1.xml": f"{declared}<x><row><c><v>&a;</v></c></row></x>"})


def _in_utf_16() -> bytes:
    part = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>'.encode("utf-16")
    return packed({**book(""), "xl/worksheets/sheet1.xml": part})


def _attributes(count: int) -> str:
    return "<a " + " ".join(f"b{at}=''" for at in range(count)) + ">"


def _often(kind: str) -> bytes:
    """A workbook whose texts or styles are there under many names."""
    parts = [(kind, f"{kind}.xml")] * 100
    others = [("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("styles", "styles.xml")]
    return packed({**book(""), "xl/_rels/workbook.xml.rels": related(*others, *parts)})


SHARED = "<c t='s'><v>0</v></c>"
HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "half a gigabyte in half a megabyte": (_bomb, "parts of 536,87"),
    "a size that lies": (_bomb_that_lies, "not a workbook, or cut short or damaged"),
    "layers": (_bomb_of_layers, "100 parts of 1,048,576,000 bytes when unpacked"),
    "200 megabytes": (lambda: b"PK\x03\x04" + bytes(200_000_000), "200,000,004 bytes; at most 8,388,608"),
    "many parts": (lambda: packed({f"p{at}": "" for at in range(501)}), "501 parts of 0 bytes when unpacked"),
    "encrypted inside": (_encrypted, "encrypted"),
    "encrypted as a whole": (
        lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(4096),
        "encrypted, or an old XLS file",
    ),
    "macros": (lambda: packed({**book(""), "xl/vbaProject.bin": b"x"}), "a workbook with macros"),
    "macro sheets": (lambda: packed({**book(""), "xl/macrosheets/sheet1.xml": b"x"}), "a workbook with macros"),
    "odd packing": (lambda: packed(book(""), zipfile.ZIP_LZMA), "compressed with a method that workbooks do not use"),
    "nothing": (lambda: b"", "not a workbook, or cut short or damaged"),
    "no archive": (lambda: b"Id,What\r\n", "not a workbook, or cut short or damaged"),
    "an empty archive": (lambda: packed({}), "the part _rels/.rels is missing"),
    "another archive": (lambda: packed({"_rels/.rels": related()}), "a ZIP archive, but not a workbook"),
    "random bytes": (lambda: random.Random(1).randbytes(2_000_000), "not a workbook, or cut short or damaged"),  # noqa: S311
    "laughs in the sheet": (lambda: _laughs("xl/worksheets/sheet1.xml"), "a document type declaration inside"),
    "laughs in the texts": (lambda: _laughs("xl/sharedStrings.xml"), "a document type declaration inside"),
    "laughs in the relations": (lambda: _laughs("_rels/.rels"), "a document type declaration inside"),
    "a file from outside": (_outside, "a document type declaration inside"),
    "a declaration in UTF-16": (_in_utf_16, "a document type declaration inside"),
    "elements without end": (
        lambda: packed({**book(""), "xl/worksheets/sheet1.xml": "<a>" * TOO_MANY}),
        "more elements than an action list has; at most 1,000,000",
    ),
    "elements by the million": (
        lambda: packed({**book(""), "xl/worksheets/sheet1.xml": "<a>" + "<b/>" * TOO_MANY}),
        "more elements than an action list has; at most 1,000,000",
    ),
    "texts by the million": (
        lambda: packed(book("", texts="<si/>" * TOO_MANY)),
        "more elements than an action list has; at most 1,000,000",
    ),
    "attributes by the million": (
        lambda: packed({**book(""), "xl/worksheets/sheet1.xml": _attributes(1_000_000)}),
        "a tag of more than 1,048,576 bytes in xl/worksheets/sheet1.xml",
    ),
    "one giant attribute": (
        lambda: packed({**book(""), "xl/worksheets/sheet1.xml": f'<a b="{"x" * 16_000_000}'}),
        "a tag of more than 1,048,576 bytes in xl/worksheets/sheet1.xml",
    ),
    "one giant name": (
        lambda: packed({**book(""), "xl/worksheets/sheet1.xml": "<" + "x" * 16_000_000}),
        "a tag of more than 1,048,576 bytes in xl/worksheets/sheet1.xml",
    ),
    "one text of a million runs": (
        lambda: packed(book(f"<row><c t='inlineStr'><is>{'<t>0123456789</t>' * 400_000}</is></c></row>")),
        "a cell in row 1 of more than 32,767 characters; at most 32,767",
    ),
    "a shared text of a million runs": (
        lambda: packed(book("", texts=f"<si>{'<r><t>0123456789</t></r>' * 400_000}</si>")),
        "a shared text of more than 32,767 characters; at most 32,767",
    ),
    "styles by the hundred thousand": (
        lambda: packed(book("", styles="<cellXfs>" + "<xf numFmtId='14'/>" * 400_000 + "</cellXfs>")),
        "more cell formats than a workbook has; at most 65,490",
    ),
    "number formats by the hundred thousand": (
        lambda: packed(book("", styles="".join(f'<numFmt numFmtId="{at}" formatCode="y"/>' for at in range(100_000)))),
        "more cell formats than a workbook has; at most 65,490",
    ),
    "a long text in every cell": (
        lambda: packed(book(f"<row>{SHARED * 50}</row>" * 200, texts=f"<si><t>{'x' * 32_000}</t></si>")),
        "more text than an action list has; at most 16,000,000 characters",
    ),
    "shared texts under many names": (lambda: _often("sharedStrings"), "the part xl/sharedStrings.xml is there twice"),
    "styles under many names": (lambda: _often("styles"), "the part xl/styles.xml is there twice"),
    "a part that is not there": (
        lambda: packed({**book(""), "xl/_rels/workbook.xml.rels": related(("worksheet", "../../../etc/passwd"))}),
        "the part etc/passwd is missing",
    ),
    "a sheet on another machine": (
        lambda: packed(
            {
                **book(""),
                "xl/_rels/workbook.xml.rels": related(("worksheet", "https://example.invalid/x")).replace(
                    "/>", ' TargetMode="External"/>'
                ),
            }
        ),
        "the part of the sheet is missing",
    ),
}


def _most() -> int:
    """Peak memory of this process since the last reset, in bytes."""
    (kilobytes,) = re.findall(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text(encoding="ascii"))
    return int(kilobytes) * 1024


@contextmanager
def _little_memory() -> Iterator[None]:
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")  # resets the peak: proc(5)
    before = _most()
    yield
    assert _most() - before < MEMORY


def test_the_memory_check_sees_a_short_peak() -> None:
    with pytest.raises(AssertionError), _little_memory():
        assert any(b"x" * (MEMORY * 2))


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_quickly_with_little_memory_and_says_why(name: str) -> None:
    make, why = HOSTILE[name]
    raw = make()
    began = process_time()
    with _little_memory():
        assert why in said(raw)
    assert process_time() - began < SECONDS


def test_a_csv_file_of_200_megabytes_or_of_another_encoding_is_refused() -> None:
    assert told("csv", bytes(200_000_000)) == [f"(file): 200,000,000 bytes; at most {MOST_BYTES:,}"]
    assert told("csv", "Id,What\n,caf\xe9".encode("cp1252")) == [
        "(file): byte 12 is no UTF-8 text, so it is no CSV; save the list as an XLSX workbook, or as CSV UTF-8"
    ]
    assert told("csv", b'Id,What\n,"' + b"x" * 200_000)[0].startswith("(file): no CSV (field larger than field limit")
    assert told("csv", b"Id,What\n" + b",x\n" * (MOST_ROWS + 1)) == [
        f"(file): more rows than an action list has; at most {MOST_ROWS:,}"
    ]


def _actions() -> list[Action]:
    return [action(interim="a _x0041_ b"), action(id="A-002", what="=1+1")]


@cache
def _workbook() -> bytes:
    """Cached, because a workbook contains the time of saving: the same bytes for each draw."""
    return written("xlsx", _actions())


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_damaged_workbook_is_refused_or_read_and_nothing_else(data: st.DataObject) -> None:
    raw = bytearray(_workbook())
    for _ in range(data.draw(st.integers(1, 8))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    _refused_or_read(bytes(raw[: data.draw(st.integers(len(raw) // 2, len(raw)))] if data.draw(st.booleans()) else raw))


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_workbook_with_a_damaged_part_is_refused_or_read_and_nothing_else(data: st.DataObject) -> None:
    named: dict[str, bytes | str] = dict(parts(_workbook()))
    part = data.draw(st.sampled_from(sorted(name for name in named if "xl/" in name or "rels" in name)))
    text = bytes(named[part])
    at = data.draw(st.integers(0, len(text) - 1))
    put = data.draw(st.sampled_from([b"", b"9", b"-", b'"', b"<", b"<v>1e400</v>", b"<f>X</f>", b"_xD800_", b"\x00"]))
    named[part] = text[:at] + put + text[at + data.draw(st.integers(0, 3)) :]
    _refused_or_read(packed(named))


def _refused_or_read(raw: bytes) -> None:
    try:
        proposed = asked("xlsx", raw, _actions())
    except Refused as refused:
        assert refused.faults  # noqa: PT017  (either outcome is right; what is not is any other error)
        return
    assert proposed.unchanged + len(proposed.updates) <= 2


@pytest.mark.parametrize("cut", [1, 100, 1000])
def test_a_file_cut_short_at_either_end_is_refused(cut: int) -> None:
    raw = _workbook()
    assert "cut short" in said(raw[:-cut])
    assert "(file): " in said(raw[cut:])


def test_the_limit_of_what_is_unpacked_holds_for_a_file_that_is_just_small_enough() -> None:
    blank = book("")
    room = ACTION_LIST.unpacked - sum(len(content) for content in blank.values())
    named = {**blank, "xl/media/image1.bin": bytes(room)}
    assert rows("FILE", packed(named), sheet="Actions") == []
    assert f"{ACTION_LIST.unpacked + 1:,} bytes when unpacked" in said(packed({**named, "one": b"x"}))
