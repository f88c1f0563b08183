"""Rows of text from a sheet of an uploaded XLSX workbook. Formulas are text; nothing is computed, run or fetched.

A workbook is a ZIP archive of XML files. Sizes are checked before unpacking, the XML is read event by event, and every part is
read once at most, within limits for all parts together, so a hostile file costs little. Source of the format: ECMA-376 Part 1, 18.3 (sheets), 18.4 (texts), 18.8.30
(number formats), from memory.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from collections.abc import Callable, Iterator
from typing import Any, TypeVar
from xml.parsers import expat

from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format

from checks.spreadsheets.cells import from_workbook
from checks.spreadsheets.sheet import ACTION_LIST, Limits, Row, Runs, Sheet
from checks.text.faults import Fault, Refused

MOST_BYTES = 8 * 1024 * 1024
MOST_PARTS = 500

MOST_STYLES = 65_490
"""Cell formats of a workbook. Source: published specifications and limits of spreadsheets (from memory)."""

_CHUNK = 1024 * 1024
"""Bytes of XML parsed at a time; no tag is as long."""
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""First bytes of an encrypted workbook, and of the format before XLSX."""

_SAVE = "save the list as an XLSX workbook again, without a password, and upload that"
Read = TypeVar("Read")
Event = tuple[bool, str, Any]
"""Whether an element begins; its name; its attributes at its beginning, its text at its end."""


def refused(name: str, found: str, allowed: str = _SAVE) -> Refused:
    """The error for a file that is rejected as a whole."""
    return Refused(name, [Fault("(file)", found, allowed)])


def rows(name: str, raw: bytes, *, sheet: str) -> list[Row]:
    """Rows of the sheet with this name, else of the first sheet, each with its number; empty rows are left out.

    ``name`` is the name of the file in faults. Raises Refused for anything but a plain workbook of normal size.
    """
    return _read(name, raw, ACTION_LIST, lambda book: book.rows(sheet))


def sheets(name: str, raw: bytes, limits: Limits) -> dict[str, list[Row]]:
    """Rows of every sheet by its name; raises Refused like ``rows``."""
    return _read(name, raw, limits, lambda book: book.all_rows())


def _read(name: str, raw: bytes, limits: Limits, read: Callable[[_Workbook], Read]) -> Read:
    try:
        with _archive(name, raw, limits) as archive:
            return read(_Workbook(name, archive, limits))
    except expat.ExpatError as error:
        raise refused(name, f"a part of it is not XML ({error})") from error
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, UnicodeDecodeError) as error:
        raise refused(name, "not a workbook, or cut short or damaged") from error


def _archive(name: str, raw: bytes, limits: Limits) -> zipfile.ZipFile:
    if len(raw) > MOST_BYTES:
        raise refused(name, f"{len(raw):,} bytes", f"at most {MOST_BYTES:,}")
    if raw.startswith(_OLD):
        raise refused(name, "encrypted, or an old XLS file")
    archive = zipfile.ZipFile(io.BytesIO(raw))
    parts = archive.infolist()
    unpacked = sum(part.file_size for part in parts)  # zipfile unpacks no part beyond its stated size
    if len(parts) > MOST_PARTS or unpacked > limits.unpacked:
        size = f"{len(parts):,} parts of {unpacked:,} bytes when unpacked"
        raise refused(name, size, f"at most {MOST_PARTS} parts and {limits.unpacked:,} bytes")
    if any(part.header_offset < 0 for part in parts):
        raise refused(name, "cut short at its beginning")
    if any(part.flag_bits & 1 for part in parts):
        raise refused(name, "encrypted")
    if any(part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) for part in parts):
        raise refused(name, "compressed with a method that workbooks do not use")
    if any(word in part.filename.lower() for part in parts for word in ("vba", "macrosheets")):
        raise refused(name, "a workbook with macros", "save it without macros, as XLSX")
    return archive


class _Workbook:
    def __init__(self, name: str, archive: zipfile.ZipFile, limits: Limits) -> None:
        self.name, self.archive, self.limits = name, archive, limits
        self._shared: list[str] = []
        self._date_styles: set[int] = set()
        self._from_1904 = False
        self._opened: set[str] = set()
        self._elements = self._characters = 0

    def rows(self, wanted: str) -> list[Row]:
        """Rows of the sheet with this name, else of the first sheet."""
        paths = self._paths()
        return self._rows(paths.get(wanted) or next(iter(paths.values()), ""))

    def all_rows(self) -> dict[str, list[Row]]:
        """Rows of every sheet by its name."""
        return {sheet: self._rows(path) for sheet, path in self._paths().items()}

    def _paths(self) -> dict[str, str]:
        """Part of each sheet by its name; reads the texts and styles that all sheets share."""
        book = next(iter(self._related("").get("officeDocument", {}).values()), "")
        if not book:
            raise refused(self.name, "a ZIP archive, but not a workbook")
        related = self._related(book)
        sheets, self._from_1904 = self._sheets(book)
        self._shared = [text for part in related.get("sharedStrings", {}).values() for text in self._texts(part)]
        self._date_styles = {style for part in related.get("styles", {}).values() for style in self._days(part)}
        return {name: related.get("worksheet", {}).get(key, "") for name, key in sheets.items()}

    def _rows(self, path: str) -> list[Row]:
        sheet = Sheet(
            texts=self._shared,
            days=self._date_styles,
            from_1904=self._from_1904,
            stop=self._stop,
            count=self._count,
            limits=self.limits,
        )
        for event in self._events(path):
            sheet.take(*event)
        return sheet.rows

    def _count(self, characters: int) -> None:
        self._characters += characters
        if self._characters > self.limits.characters:
            most = f"at most {self.limits.characters:,} characters"
            raise self._stop(f"more text than {self.limits.what} has", most)

    def _stop(self, found: str, allowed: str = _SAVE) -> Refused:
        return refused(self.name, found, allowed)

    def _related(self, part: str) -> dict[str, dict[str, str]]:
        """Parts to which a part has a relationship, by the last word of its type and by id."""
        folder, base = posixpath.split(part)
        related: dict[str, dict[str, str]] = {}
        for begins, tag, attributes in self._events(posixpath.join(folder, "_rels", f"{base}.rels")):
            if begins and tag == "Relationship" and attributes.get("TargetMode") != "External":
                path = posixpath.normpath(posixpath.join("/", folder, attributes.get("Target", ""))).lstrip("/")
                related.setdefault(attributes.get("Type", "").rpartition("/")[2], {})[attributes.get("Id", "")] = path
        return related

    def _sheets(self, part: str) -> tuple[dict[str, str], bool]:
        """Relationship id of each sheet by its name, and whether dates count from 1904."""
        sheets, from_1904 = {}, False
        for begins, tag, attributes in self._events(part):
            if begins and tag == "sheet":
                by_name = {key.rpartition(":")[2]: value for key, value in attributes.items()}
                sheets[by_name.get("name", "")] = by_name.get("id", "")
            if begins and tag == "workbookPr":
                from_1904 = attributes.get("date1904", "0") in ("1", "true")
        return sheets, from_1904

    def _texts(self, part: str) -> Iterator[str]:
        """Shared texts in order. The runs of a text are joined; phonetic guides are left out."""
        runs, phonetic = Runs(self._stop), False
        for begins, tag, content in self._events(part):
            if tag == "rPh":
                phonetic = begins
            elif tag == "t" and not begins and not phonetic:
                runs.add(content, "a shared text")
            elif tag == "si" and not begins:
                yield from_workbook(runs.taken())

    def _days(self, part: str) -> Iterator[int]:
        """Numbers of the cell styles that show a date."""
        dates = {str(key): is_date_format(code) for key, code in BUILTIN_FORMATS.items()}
        inside, number = False, 0
        for begins, tag, attributes in self._events(part):
            if tag == "cellXfs":
                inside = begins
            elif begins and tag == "numFmt":
                dates[attributes.get("numFmtId", "")] = is_date_format(attributes.get("formatCode", "")[:255])
            elif begins and inside and tag == "xf":
                if dates.get(attributes.get("numFmtId", "")):
                    yield number
                number += 1
            if max(len(dates), number) > MOST_STYLES:
                raise self._stop("more cell formats than a workbook has", f"at most {MOST_STYLES:,}")

    def _events(self, part: str) -> Iterator[Event]:
        """Begin and end events of the elements of a part, without namespace prefixes; no tree is built."""
        if part not in self.archive.NameToInfo:
            raise refused(self.name, f"the part {part or 'of the sheet'} is missing")
        if part in self._opened:
            raise refused(self.name, f"the part {part} is there twice")
        self._opened.add(part)
        events: list[Event] = []
        text: list[str] = []

        def begin(tag: str, attributes: dict[str, str]) -> None:
            self._elements += 1
            if self._elements > self.limits.elements:
                raise self._stop(f"more elements than {self.limits.what} has", f"at most {self.limits.elements:,}")
            text.clear()
            events.append((True, tag.rpartition(":")[2], attributes))

        def end(tag: str) -> None:
            events.append((False, tag.rpartition(":")[2], "".join(text)))
            text.clear()

        def declared(*_: Any) -> None:
            raise refused(self.name, "a document type declaration inside")

        parser = expat.ParserCreate()
        parser.buffer_text, parser.buffer_size = True, _CHUNK // 4  # else one call for each line
        parser.StartElementHandler, parser.EndElementHandler = begin, end
        parser.CharacterDataHandler, parser.StartDoctypeDeclHandler = text.append, declared
        with self.archive.open(part) as stream:
            while chunk := stream.read(_CHUNK):
                before = len(text)
                parser.Parse(chunk, False)  # noqa: FBT003  (by position only)
                if not events and len(text) == before and len(chunk) == _CHUNK:
                    raise refused(self.name, f"a tag of more than {_CHUNK:,} bytes in {part}")
                yield from events
                events.clear()
        parser.Parse(b"", True)  # noqa: FBT003
        yield from events
