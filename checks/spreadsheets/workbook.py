"""A sheet of an uploaded XLSX workbook as rows of text. Formulas are text; nothing is computed, run or fetched.

A workbook is a ZIP archive of XML. Sizes are limited before anything is unpacked and the XML is read event by event,
so that a hostile file costs little. Source of the format: ECMA-376 Part 1, 18.3 (sheets), 18.4 (texts), 18.8.30
(number formats), from memory.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from collections.abc import Iterator
from typing import Any
from xml.parsers import expat

from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format

from checks.spreadsheets.cells import from_workbook
from checks.spreadsheets.sheet import Row, Sheet
from checks.text.faults import Fault, Refused

MOST_BYTES = 8 * 1024 * 1024
MOST_UNPACKED = 16 * 1024 * 1024
MOST_PARTS = 500
MOST_ELEMENTS = 1_000_000
"""Of one part. A list of a thousand actions takes a tenth of all this."""

_CHUNK = 1024 * 1024
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""How a file begins that is encrypted, or of the kind before XLSX."""

_SAVE = "save the list as an XLSX workbook again, without a password, and upload that"
Event = tuple[bool, str, Any]
"""Whether an element begins; its name; its attributes at the beginning, its text at the end."""


def refused(name: str, found: str, allowed: str = _SAVE) -> Refused:
    """The whole file refused for one reason."""
    return Refused(name, [Fault("(file)", found, allowed)])


def rows(name: str, raw: bytes, *, sheet: str) -> list[Row]:
    """Rows of the sheet of that name, else of the first, each with its number; empty ones are left out.

    ``name`` is what faults call the file. Raises Refused for anything but a plain workbook of a usual size.
    """
    try:
        with _archive(name, raw) as held:
            return _Workbook(name, held).rows(sheet)
    except expat.ExpatError as error:
        raise refused(name, f"a part of it is no XML ({error})") from error
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, UnicodeDecodeError) as error:
        raise refused(name, "no workbook, cut short or damaged") from error


def _archive(name: str, raw: bytes) -> zipfile.ZipFile:
    if len(raw) > MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {MOST_BYTES:,}")
    if raw.startswith(_OLD):
        raise refused(name, "encrypted, or an old XLS file")
    held = zipfile.ZipFile(io.BytesIO(raw))
    parts = held.infolist()
    unpacked = sum(one.file_size for one in parts)  # zipfile unpacks no part beyond the size that it states
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED:
        found = f"{len(parts):,} parts of {unpacked:,} bytes when unpacked"
        raise refused(name, found, f"at most {MOST_PARTS} parts and {MOST_UNPACKED:,} bytes")
    if any(one.header_offset < 0 for one in parts):
        raise refused(name, "cut short at its beginning")
    if any(one.flag_bits & 1 for one in parts):
        raise refused(name, "encrypted")
    if any(one.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) for one in parts):
        raise refused(name, "packed in a way that workbooks are not")
    if any(word in one.filename.lower() for one in parts for word in ("vba", "macrosheets")):
        raise refused(name, "a workbook with macros", "save it without macros, as XLSX")
    return held


class _Workbook:
    def __init__(self, name: str, archive: zipfile.ZipFile) -> None:
        self.name, self.archive = name, archive

    def rows(self, wanted: str) -> list[Row]:
        """Rows of the sheet of that name, else of the first."""
        book = next(iter(self._related("").get("officeDocument", {}).values()), "")
        if not book:
            raise refused(self.name, "a ZIP archive, but no workbook")
        related = self._related(book)
        sheets, from_1904 = self._sheets(book)
        path = related.get("worksheet", {}).get(sheets.get(wanted) or next(iter(sheets.values()), ""), "")
        texts = [text for part in related.get("sharedStrings", {}).values() for text in self._texts(part)]
        days = {style for part in related.get("styles", {}).values() for style in self._days(part)}
        sheet = Sheet(texts=texts, days=days, from_1904=from_1904, stop=self._stop)
        for event in self._events(path):
            sheet.take(*event)
        return sheet.rows

    def _stop(self, found: str, allowed: str = _SAVE) -> Refused:
        return refused(self.name, found, allowed)

    def _related(self, part: str) -> dict[str, dict[str, str]]:
        """Parts that a part names, by the last word of their kind and by their id."""
        folder, base = posixpath.split(part)
        found: dict[str, dict[str, str]] = {}
        for begins, tag, held in self._events(posixpath.join(folder, "_rels", f"{base}.rels")):
            if begins and tag == "Relationship" and held.get("TargetMode") != "External":
                path = posixpath.normpath(posixpath.join("/", folder, held.get("Target", ""))).lstrip("/")
                found.setdefault(held.get("Type", "").rpartition("/")[2], {})[held.get("Id", "")] = path
        return found

    def _sheets(self, part: str) -> tuple[dict[str, str], bool]:
        """Relation of each sheet by its name, and whether days count from 1904."""
        sheets, from_1904 = {}, False
        for begins, tag, held in self._events(part):
            if begins and tag == "sheet":
                local = {key.rpartition(":")[2]: value for key, value in held.items()}
                sheets[local.get("name", "")] = local.get("id", "")
            if begins and tag == "workbookPr":
                from_1904 = held.get("date1904", "0") in ("1", "true")
        return sheets, from_1904

    def _texts(self, part: str) -> Iterator[str]:
        """Shared texts in their order; the runs of one belong together, and its phonetic aid is left out."""
        runs: list[str] = []
        phonetic = False
        for begins, tag, held in self._events(part):
            if tag == "rPh":
                phonetic = begins
            elif tag == "t" and not begins and not phonetic:
                runs.append(held)
            elif tag == "si" and not begins:
                yield from_workbook("".join(runs))
                runs.clear()

    def _days(self, part: str) -> Iterator[int]:
        """Numbers of the cell styles that show a day."""
        formats: dict[str, str] = {str(key): code for key, code in BUILTIN_FORMATS.items()}
        inside, number = False, 0
        for begins, tag, held in self._events(part):
            if tag == "cellXfs":
                inside = begins
            elif begins and tag == "numFmt":
                formats[held.get("numFmtId", "")] = held.get("formatCode", "")[:255]
            elif begins and inside and tag == "xf":
                if is_date_format(formats.get(held.get("numFmtId", ""))):
                    yield number
                number += 1

    def _events(self, part: str) -> Iterator[Event]:
        """Elements of a part as they begin and end, without their prefixes; no tree is built."""
        if part not in self.archive.NameToInfo:
            raise refused(self.name, f"the part {part or 'of the sheet'} is missing")
        found: list[Event] = []
        text: list[str] = []
        begun = 0

        def begin(tag: str, attributes: dict[str, str]) -> None:
            nonlocal begun
            begun += 1
            if begun > MOST_ELEMENTS:
                raise refused(self.name, f"more than {MOST_ELEMENTS:,} elements in {part}")
            text.clear()
            found.append((True, tag.rpartition(":")[2], attributes))

        def end(tag: str) -> None:
            found.append((False, tag.rpartition(":")[2], "".join(text)))
            text.clear()

        def declared(*_: Any) -> None:
            raise refused(self.name, "a document type inside")

        parser = expat.ParserCreate()
        parser.StartElementHandler, parser.EndElementHandler = begin, end
        parser.CharacterDataHandler, parser.StartDoctypeDeclHandler = text.append, declared
        with self.archive.open(part) as stream:
            while chunk := stream.read(_CHUNK):
                parser.Parse(chunk, False)  # noqa: FBT003  (by position only)
                yield from found
                found.clear()
        parser.Parse(b"", True)  # noqa: FBT003
        yield from found
