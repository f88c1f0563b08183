"""Choice of an embedded font for each character, and printable text.

The font family of the screens comes first, then one font per script, then symbols, then Chinese, Japanese and Korean.
A character that no font contains is printed as its code point, ``U+1F600``, because a box would hide it. Direction
controls are printed the same way, because they can make a line read differently from what it says; only isolates, which end
on their line and turn nothing else, act and are not drawn. Sources and licences
are stored next to the unmodified font files.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from pathlib import Path
from threading import Lock
from types import SimpleNamespace

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import ShapedStr, TTFont, shapeFragWord

from pages.presentation.direction import ISOLATES, balanced

FOLDER = Path(__file__).with_suffix("")
REGULAR, BOLD = "SourceSansPro-Regular", "SourceSansPro-Semibold"
SYMBOLS, WIDE = "DejaVuSans", "DroidSansFallback"
BLOCKS = {
    "NotoSansHebrew-Regular": ((0x0590, 0x05FF), (0xFB1D, 0xFB4F)),
    "NotoSansArabic-Regular": (
        (0x0600, 0x06FF),
        (0x0750, 0x077F),
        (0x08A0, 0x08FF),
        (0xFB50, 0xFDFF),
        (0xFE70, 0xFEFC),
    ),
    "NotoSansDevanagari-Regular": ((0x0900, 0x097F), (0xA8E0, 0xA8FF)),
    "NotoSansBengali-Regular": ((0x0980, 0x09FF),),
    "NotoSansGurmukhi-Regular": ((0x0A00, 0x0A7F),),
    "NotoSansGujarati-Regular": ((0x0A80, 0x0AFF),),
    "NotoSansTamil-Regular": ((0x0B80, 0x0BFF),),
    "NotoSansTelugu-Regular": ((0x0C00, 0x0C7F),),
    "NotoSansKannada-Regular": ((0x0C80, 0x0CFF),),
    "NotoSansMalayalam-Regular": ((0x0D00, 0x0D7F),),
    "NotoSansThai-Regular": ((0x0E00, 0x0E7F),),
}
"""Code ranges of scripts with their own font. Their letters join, stack or carry marks, so the text is shaped."""

_RIGHT_TO_LEFT = frozenset(("NotoSansHebrew-Regular", "NotoSansArabic-Regular"))
"""Fonts whose letters run from right to left: what runs from left to right in them is digits and signs."""

INVISIBLE = frozenset("\u00ad\u200b\u200c\u200d\u2060\u2068\u2069\ufeff") | {
    chr(code) for code in range(0xFE00, 0xFE10)
}
"""Control characters without a glyph; they are not drawn."""
JOINERS = frozenset("\u200c\u200d")
_DIRECTION_CONTROLS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067")
_LOADED: dict[str, TTFont] = {}
_LOADING = Lock()


@dataclass(frozen=True, slots=True)
class Run:
    """Text of one font and one direction; ``shaped`` contains its positioned glyphs from left to right."""

    font: str
    text: str
    shaped: ShapedStr | None = None

    def width(self, size: float) -> float:
        """Width in points."""
        if self.shaped is None:
            return float(font(self.font).stringWidth(self.text, size))
        return float(sum(glyph.x_advance for glyph in self.shaped.__shapeData__)) * size / 1000.0


def font(name: str) -> TTFont:
    """An embedded font, loaded on first use."""
    if name not in _LOADED:
        with _LOADING:
            if name not in _LOADED:  # reports may be printed in parallel
                loaded = TTFont(name, str(FOLDER / f"{name}.ttf"))
                if name in BLOCKS:
                    _number_glyphs(loaded)
                pdfmetrics.registerFont(loaded)
                _LOADED[name] = loaded
    return _LOADED[name]


def _number_glyphs(loaded: TTFont) -> None:
    """Give every glyph without a character its private character, in the order of the font.

    reportlab assigns these in order of use, so the bytes of a report would depend on earlier reports.
    """
    shaper = loaded.hbFont()
    for glyph in range(loaded.face.numGlyphs):
        if glyph not in loaded.face.glyphToChar:
            loaded.hbAddPrivate(shaper.glyph_to_string(glyph), glyph, shaper.get_glyph_h_advance(glyph))


@lru_cache(maxsize=65536)
def _name(character: str, *, bold: bool) -> str | None:
    """Font of a character; None if no font contains it."""
    code = ord(character)
    if code > 0xFFFF or 0xE000 <= code <= 0xF8FF:  # reportlab cannot make these searchable
        return None
    own = [name for name, blocks in BLOCKS.items() if any(first <= code <= last for first, last in blocks)]
    for name in (BOLD if bold else REGULAR, *own, SYMBOLS, WIDE):
        if code in font(name).face.charToGlyph:
            return name
    return None


@lru_cache(maxsize=65536)
def _printable_character(character: str) -> str:
    if character in INVISIBLE:
        return character
    if character in "\t\u00a0":
        return " "
    allowed = None if unicodedata.category(character) in ("Cc", "Cs") or character in _DIRECTION_CONTROLS else character
    return character if allowed and _name(allowed, bold=False) else f"U+{ord(character):04X}"


def printable(text: str) -> str:
    r"""Printable text: letters and marks composed, and code points for characters without a font.

    >>> printable("A\u202eB"), printable("x\U0001f600")
    ('AU+202EB', 'xU+1F600')
    """
    if text.isascii() and text.isprintable():
        return text
    shown = "".join(map(_printable_character, unicodedata.normalize("NFC", text)))
    return shown if balanced(shown) else "".join(f"U+{ord(one):04X}" if one in ISOLATES else one for one in shown)


def runs(text: str, *, bold: bool, right_to_left: bool) -> tuple[Run, ...]:
    """Text of one direction as runs of one font each, from left to right. ``text`` is the output of ``printable``."""
    if text.isascii() and not right_to_left:
        return (Run(BOLD if bold else REGULAR, text),)
    parts = tuple(_run(name, part, right_to_left=right_to_left) for name, part in _parts(text, bold=bold))
    return parts[::-1] if right_to_left else parts


def _parts(text: str, *, bold: bool) -> Iterator[tuple[str, str]]:
    """Font and text of each part. A joiner or mark stays with the letter before it if that font contains it."""
    names: list[tuple[str, str]] = []
    last = BOLD if bold else REGULAR
    for character in text:
        if character in JOINERS:
            names.append((last, character))
        elif character not in INVISIBLE:
            stays = bool(unicodedata.combining(character)) and ord(character) in font(last).face.charToGlyph
            last = last if stays else _name(character, bold=bold) or SYMBOLS
            names.append((last, character))
    for name, same in groupby(names, key=lambda pair: pair[0]):
        yield name, "".join(character for _, character in same)


def _run(name: str, text: str, *, right_to_left: bool) -> Run:
    if name in BLOCKS and (right_to_left or name not in _RIGHT_TO_LEFT):  # the shaper would turn their digits around
        return Run(name, text, _shaped(name, text))
    visible = "".join(character for character in text if character not in INVISIBLE)
    return Run(name, visible[::-1] if right_to_left else visible)


@lru_cache(maxsize=16384)
def _shaped(name: str, text: str) -> ShapedStr:
    """Shaped glyphs of a run, from left to right."""
    font(name)
    whole = SimpleNamespace(fontName=name, fontSize=10.0)
    pieces = shapeFragWord([0.0, (whole, text)], features={}, force=True)[1:]
    glyphs = pieces[0][1]
    for _, more in pieces[1:]:
        glyphs += more
    return glyphs if isinstance(glyphs, ShapedStr) else ShapedStr(glyphs, shapeData=[])
