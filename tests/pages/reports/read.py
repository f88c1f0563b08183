"""Printed documents read back with a general-purpose PDF library."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import date
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

from checks.record_files.record_file import Record
from pages.reports import safety_report, security_annex
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import DocumentInfo
from tests.pages.reports.recorded import DAY

PLAIN = DocumentInfo(
    title="A report", date=date(2025, 3, 4), note="invented data - not for use", caution="In this model."
)


def printed(*parts: Any, on: DocumentInfo = PLAIN) -> PdfReader:
    """A document of these parts, read back."""
    return PdfReader(io.BytesIO(page_layout.build_pdf(on, *parts)))


def report(record: Record) -> PdfReader:
    """The safety report of a record, read back."""
    return PdfReader(io.BytesIO(safety_report.report(record, day=DAY)))


def annex(record: Record, reader: str = "SR-1") -> PdfReader:
    """The security annex of a record, made for its reader, read back."""
    return PdfReader(io.BytesIO(security_annex.annex(record, reader=reader, day=DAY)))


def squeezed(shown: str) -> str:
    """A text without spaces, so that line breaks do not matter."""
    return "".join(shown.split())


def text(document: PdfReader) -> str:
    """Text of all pages."""
    return "\n".join(page.extract_text() for page in document.pages)


def read_out(document: PdfReader) -> Iterator[str]:
    """ActualText of the lines whose glyphs are not in reading order."""
    for page in document.pages:
        for operands, operator in ContentStream(page["/Contents"].get_object(), document).operations:
            if operator == b"BDC":
                yield str(operands[1]["/ActualText"])


def entries(outline: Any, depth: int = 0) -> Iterator[tuple[int, str]]:
    """Entries of the outline with their depth."""
    for entry in outline:
        if isinstance(entry, list):
            yield from entries(entry, depth + 1)
        else:
            yield depth, entry.title


def objects(document: PdfReader) -> Iterator[Any]:
    """Every object of the file."""
    for number in document.xref[0]:
        yield document.get_object(number)
