"""Page layout of a report: header and footer, and one function per kind of content.

A report is a list of such blocks and reads like a table of contents. The same input gives the same bytes: the date is an
argument and nothing depends on the machine. The PDF has no accessibility tags (reportlab writes none); the same figures
are available as CSV.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeAlias

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase.pdfdoc import XMP
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from pages.presentation.palette import LIGHT
from pages.reports.layout import fonts
from pages.reports.layout.blocks import Block, HeadedBlock, Heading, Text
from pages.reports.layout.metadata import xmp_packet
from pages.reports.layout.table import Table
from pages.reports.layout.text_lines import Style, place, truncated, width, wrapped, write

WIDE, HIGH = A4
LEFT, RIGHT, TOP, BOTTOM = 62.0, WIDE - 52.0, HIGH - 76.0, 78.0
ROOM = RIGHT - LEFT
"""Width of the text area, in points."""
PAGE_NUMBER_ROOM, SPACE = 84.0, 1.6
"""Width of "page 1 of 9" in the footer, and of a space in that size, in points."""

TOOL = "Shared-Cause Review"

BODY = Style()
SMALL = Style(size=8.0, leading=10.5, colour=LIGHT.quiet)
CELL = Style(size=8.5, leading=11.5)
TITLE = Style(size=22.0, leading=27.0, bold=True)
LEAD = Style(size=11.5, leading=16.0, colour=LIGHT.quiet)
HEADINGS = (Style(size=15.0, leading=19.0, bold=True), Style(size=11.5, leading=15.0, bold=True), Style(bold=True))
MARK = Style(size=8.0, leading=10.5, bold=True)
ACROSS = Style(size=190.0, leading=190.0, bold=True, opacity=0.12)

Piece: TypeAlias = Block


@dataclass(frozen=True, slots=True)
class DocumentInfo:
    """Title, date and the texts repeated on every page.

    ``standing``, ``note`` and ``marking`` are in the header, ``caution`` is in the footer; a ``void`` document says VOID across
    every page. With a ``reader`` every page shows "for:
    reader, date" along both margins.
    """

    title: str
    date: date
    note: str = ""
    marking: str = ""
    caution: str = ""
    reader: str = ""
    standing: str = ""
    void: bool = False


def title(text: str, lead: str = "") -> list[Piece]:
    """Title of the document, with an optional lead sentence below it."""
    return [
        Heading(text, TITLE, level=0, above=0.0, below=6.0),
        *([Text(lead, LEAD, below=20.0)] if lead else []),
    ]


def heading(text: str, level: int = 1) -> list[Piece]:
    """Heading of level 1 to 3 with an outline entry; it stays with the block that follows."""
    above, below = ((26.0, 8.0), (16.0, 5.0), (10.0, 3.0))[level - 1]
    return [Heading(text, HEADINGS[level - 1], level=level - 1, above=above, below=below)]


def paragraph(text: str) -> list[Piece]:
    """A paragraph; line breaks in the text are kept."""
    return [Text(text, BODY, below=7.0)]


def lead(text: str) -> list[Piece]:
    """A paragraph that stays with the beginning of the block that follows."""
    text_block = Text(text, BODY, below=7.0)
    text_block.keeps_with_next = True
    return [text_block]


def small(text: str) -> list[Piece]:
    """Small print: a source, or an explanation of the block above."""
    return [Text(text, SMALL, below=8.0)]


def items(texts: Iterable[str]) -> list[Piece]:
    """A bulleted list."""
    return [Text(text, BODY, below=3.5, sign="–") for text in texts]


def facts(pairs: Sequence[tuple[str, str]]) -> list[Piece]:
    """A two-column list of names and values."""
    return table(("", ""), pairs, widths=(1.0, 3.0))


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, widths: Sequence[float], right: Collection[int] = ()
) -> list[Piece]:
    """A table. ``widths`` are relative column widths, ``right`` the indices of right-aligned columns."""
    return [Table(head, rows, widths=widths, right=right, style=CELL)]


def gap(points: float = 12.0) -> list[Piece]:
    """Vertical space in points; none at the top of a page."""
    return [Text("", Style(size=1.0, leading=0.0), above=points, below=0.0)]


def build_pdf(sheet: DocumentInfo, *parts: Iterable[Piece]) -> bytes:
    """The document as PDF; ``parts`` are lists of blocks from this module and from the charts."""
    buffer = io.BytesIO()
    fonts.font(fonts.REGULAR)
    document = BaseDocTemplate(
        buffer,
        pagesize=A4,
        title=fonts.printable(sheet.title),
        author="",
        subject=fonts.printable(sheet.note),
        creator=TOOL,
        lang="en-GB",
        displayDocTitle=True,
        invariant=1,
        initialFontName=fonts.REGULAR,
    )
    frame = Frame(LEFT, BOTTOM, ROOM, TOP - BOTTOM, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    document.addPageTemplates(PageTemplate(frames=[frame]))
    document.build(
        _with_headings([piece for part in parts for piece in part]),
        canvasmaker=lambda *args, **how: _Pages(sheet, *args, **how),
    )
    return buffer.getvalue()


def _with_headings(pieces: Sequence[Piece]) -> list[Piece]:
    """The blocks, with every heading and lead-in sentence joined to the block that follows it."""
    joined: list[Piece] = []
    for piece in reversed(pieces):
        if isinstance(piece, Text) and piece.keeps_with_next and joined and isinstance(joined[-1], Block):
            joined.append(HeadedBlock(piece, joined.pop()))
        else:
            joined.append(piece)
    return joined[::-1] or list(gap(0.0))


class _Pages(Canvas):  # type: ignore[misc]
    """Pages with header and footer. The page count is known only at the end, so "of n" is a form filled last."""

    def __init__(self, sheet: DocumentInfo, *args: Any, **how: Any) -> None:
        super().__init__(*args, **how)
        self.sheet, self.marks, self.level = sheet, 0, -1
        packet = xmp_packet(
            title=fonts.printable(sheet.title), subject=fonts.printable(sheet.note), tool=TOOL, day=sheet.date
        )
        self._doc.Catalog.Metadata = XMP(creator=lambda _document: packet)
        self.setDateFormatter(lambda *_: f"D:{sheet.date:%Y%m%d}000000+00'00'")

    def marked(self, text: str, level: int, height: float) -> None:
        """Add an outline entry; a skipped level is closed up."""
        self.marks += 1
        self.level = min(level, self.level + 1)
        self.bookmarkHorizontal(f"h{self.marks}", 0.0, height + 12.0)
        self.addOutlineEntry(truncated(text, MARK, ROOM), f"h{self.marks}", self.level)

    def showPage(self) -> None:  # noqa: N802
        """Finish a page."""
        self._head()
        self._foot()
        if self.sheet.reader:
            self._margins()
        if self.sheet.void:
            self._across()
        super().showPage()

    def save(self) -> None:
        """Finish the document."""
        self.beginForm("pages", 0, -4, 60, 12)
        write(self, f"of {self.getPageNumber() - 1}", 0.0, 0.0, SMALL)
        self.endForm()
        super().save()

    def _head(self) -> None:
        if self.sheet.standing:
            write(self, truncated(self.sheet.standing, MARK, ROOM), RIGHT, HIGH - 34.0, MARK, anchor="right")
        words = " · ".join(part for part in (self.sheet.marking, self.sheet.note) if part)
        short = truncated(words, MARK, ROOM * 0.55)
        write(self, short, RIGHT, HIGH - 46.0, MARK, anchor="right")
        write(self, truncated(self.sheet.title, SMALL, ROOM - width(short, MARK) - 20.0), LEFT, HIGH - 46.0, SMALL)
        self._rule(HIGH - 53.0)

    def _foot(self) -> None:
        self._rule(58.0)
        after = write(self, f"page {self.getPageNumber()} ", LEFT, 46.0, SMALL)
        self.saveState()
        self.translate(LEFT + after + SPACE, 46.0)
        self.doForm("pages")
        self.restoreState()
        room = ROOM - PAGE_NUMBER_ROOM
        for row, line in enumerate(wrapped(truncated(self.sheet.caution, SMALL, room * 1.8), SMALL, room)[:2]):
            place(self, line, (LEFT + PAGE_NUMBER_ROOM, RIGHT), 46.0 - row * SMALL.leading, SMALL)

    def _margins(self) -> None:
        words = truncated(f"for: {self.sheet.reader}", MARK, HIGH - 300.0) + f", {self.sheet.date.isoformat()}"
        for x in (30.0, WIDE - 24.0):
            self.saveState()
            self.translate(x, HIGH / 2.0)
            self.rotate(90.0)
            write(self, words, 0.0, 0.0, MARK, anchor="middle")
            self.restoreState()

    def _across(self) -> None:
        """Write VOID across the page, light enough to read what lies under it."""
        self.saveState()
        self.translate(WIDE / 2.0, HIGH / 2.0)
        self.rotate(55.0)
        write(self, "VOID", 0.0, -60.0, ACROSS, anchor="middle")
        self.restoreState()

    def _rule(self, y: float) -> None:
        self.setStrokeColor(HexColor(LIGHT.line))
        self.setLineWidth(0.5)
        self.line(LEFT, y, RIGHT, y)
