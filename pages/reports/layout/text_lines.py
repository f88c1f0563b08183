"""Line breaking and writing of text on a page.

Text is never interpreted as markup, so tags, addresses and paths in typed text have no effect.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from pages.presentation.direction import FIRST_STRONG_ISOLATE, POP_ISOLATE, without_isolates
from pages.presentation.palette import LIGHT
from pages.reports.layout import bidi
from pages.reports.layout.fonts import REGULAR, Run, font, printable, runs

ELLIPSIS = "…"
_NO_LINE_BEGINS = frozenset("、。，．）」』】！？：；,.!?:;)]}»”’%")
_WORDS = re.compile(r"\S+\s*|\s+")
_AFTER_SIGN = re.compile(r"(?<=[-–—/])(?=[^\W\d_])")


@dataclass(frozen=True, slots=True)
class Style:
    """Text style: size and line spacing in points, weight, colour and opacity (0 to 1)."""

    size: float = 9.5
    leading: float = 13.5
    bold: bool = False
    colour: str = LIGHT.ink
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Line:
    """A line as runs from left to right with its width in points; ``read`` is the text in reading order if it differs."""

    runs: tuple[Run, ...]
    width: float
    right_to_left: bool
    read: str | None


@lru_cache(maxsize=1)
def _space() -> float:
    return float(font(REGULAR).stringWidth(" ", 1.0))


@lru_cache(maxsize=65536)
def _width(text: str, *, bold: bool) -> float:
    """Width at a size of one point, without trailing space."""
    return sum(run.width(1.0) for run in runs(text.rstrip(), bold=bold, right_to_left=bidi.has_right_to_left(text)))


def width(text: str, style: Style) -> float:
    """Width of a text on one line, in points."""
    return _width(printable(" ".join(text.split())), bold=style.bold) * style.size


@lru_cache(maxsize=8192)
def wrapped(text: str, style: Style, room: float) -> tuple[Line, ...]:
    """Lines of a text, none wider than ``room`` points; a wider word is cut. Line breaks in the text are kept."""
    lines: list[Line] = []
    for typed in text.splitlines() or [""]:
        paragraph = printable(typed).rstrip()
        levels = bidi.levels(paragraph) if bidi.has_right_to_left(paragraph) else None
        position = 0
        for part in _lines_that_fit(paragraph, bold=style.bold, room=room / style.size):
            lines.append(
                _line(
                    part,
                    None if levels is None else levels[position : position + len(part)],
                    bidi.paragraph_level(paragraph),
                    style,
                )
            )
            position += len(part)
    return tuple(lines)


def _line(text: str, levels: list[int] | None, start: int, style: Style) -> Line:
    if levels is None:
        line_runs = runs(text.rstrip(), bold=style.bold, right_to_left=False)
    else:
        pieces = bidi.visual_order(text.rstrip(), levels[: len(text.rstrip())], start)
        line_runs = tuple(run for part, turned in pieces for run in runs(part, bold=style.bold, right_to_left=turned))
    differs = levels is not None or any(run.shaped is not None for run in line_runs)
    wide = sum(run.width(style.size) for run in line_runs)
    return Line(line_runs, wide, bool(start), without_isolates(text.rstrip()) if differs else None)


def _lines_that_fit(text: str, *, bold: bool, room: float) -> Iterator[str]:
    """Parts of a paragraph that fit ``room`` at a size of one point; joined they give the paragraph."""
    line, used = "", 0.0
    for word in _breakable_parts(text):
        trailing = (len(word) - len(word.rstrip())) * _space()
        wide = _width(word, bold=bold)
        if line and used + wide > room:
            yield line
            line, used = "", 0.0
        if wide > room:
            *whole, word = _cut(word, bold=bold, room=room)  # noqa: PLW2901
            yield from whole
            wide = _width(word, bold=bold)
        line, used = line + word, used + wide + trailing
    yield line


def _breakable_parts(text: str) -> Iterator[str]:
    """Parts between possible line breaks: after spaces, after a dash or slash inside a word, around wide characters."""
    for word in _WORDS.findall(text):
        if word.isascii():
            yield from _AFTER_SIGN.split(word)
            continue
        piece = ""
        for character in word:
            breaks = _wide(character) or (piece and _wide(piece[-1]))
            if piece and breaks and character not in _NO_LINE_BEGINS and not character.isspace():
                yield piece
                piece = ""
            piece += character
        yield piece


@lru_cache(maxsize=8192)
def _wide(character: str) -> bool:
    return unicodedata.east_asian_width(character) in ("W", "F")


def _cut(word: str, *, bold: bool, room: float) -> Iterator[str]:
    """Pieces of a word that is wider than a line; a letter keeps its combining marks."""
    piece, used = "", 0.0
    for letter in word:
        wide = _space() if letter.isspace() else _width(letter, bold=bold)
        if piece and used + wide > room and not unicodedata.category(letter).startswith("M"):
            yield piece
            piece, used = "", 0.0
        piece, used = piece + letter, used + wide
    yield piece


def truncated(text: str, style: Style, room: float) -> str:
    """A text on one line, truncated with an ellipsis if it is wider than ``room`` points."""
    whole = printable(" ".join(text.split()))
    if not whole or _width(whole, bold=style.bold) * style.size <= room:
        return whole
    first = next(_cut(whole, bold=style.bold, room=max(0.0, room / style.size - _width(ELLIPSIS, bold=style.bold))))
    while len(first) > 1 and _width(_with_ellipsis(first), bold=style.bold) * style.size > room:
        first = first[:-1]  # a mark before the ellipsis can be wider than after its letter
    return _with_ellipsis(first)


def _with_ellipsis(first: str) -> str:
    return first.rstrip() + POP_ISOLATE * (first.count(FIRST_STRONG_ISOLATE) - first.count(POP_ISOLATE)) + ELLIPSIS


def draw(canvas: Canvas, line: Line, x: float, y: float, style: Style, *, anchor: str = "left") -> None:
    """Write a line with its baseline at ``y``; ``anchor`` is the part of the line at ``x``: left, middle or right."""
    x -= {"left": 0.0, "middle": line.width / 2.0, "right": line.width}[anchor]
    if line.read is not None:  # so that copying and searching give the typed text, not the visual order
        encoded = line.read.encode("utf-16-be").hex().upper()
        canvas.addLiteral(f"/Span << /ActualText <FEFF{encoded}> >> BDC")
    canvas.setFillColor(HexColor(style.colour), style.opacity)
    for run in line.runs:
        font(run.font)
        text = canvas.beginText(x, y)
        text.setFont(run.font, style.size, style.leading)
        text.textOut(run.text if run.shaped is None else run.shaped)
        canvas.drawText(text)
        x += run.width(style.size)
    if line.read is not None:
        canvas.addLiteral("EMC")


def write(canvas: Canvas, text: str, x: float, y: float, style: Style, *, anchor: str = "left") -> float:
    """Write a text on one line; returns its width in points."""
    line = wrapped(" ".join(text.split()), style, 1e9)[0]
    draw(canvas, line, x, y, style, anchor=anchor)
    return line.width


def place(
    canvas: Canvas, line: Line, sides: tuple[float, float], y: float, style: Style, *, at_right: bool = False
) -> None:
    """Write a line between two sides, at the side where its paragraph begins, or at the right."""
    end = at_right or line.right_to_left
    draw(canvas, line, sides[end], y, style, anchor="right" if end else "left")
