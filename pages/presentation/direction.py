"""Direction of typed text: it cannot turn the program's own words around, and its direction controls are made visible.

Text without right-to-left letters and without direction controls stays as it is, byte by byte.
"""

from __future__ import annotations

import re
import unicodedata

FIRST_STRONG_ISOLATE, POP_ISOLATE = "\u2068", "\u2069"
ISOLATES = FIRST_STRONG_ISOLATE + POP_ISOLATE
_CONTROLS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def isolated(text: str) -> str:
    """Typed text whose lines run as they do on their own, whatever stands beside them.

    A line with right-to-left letters is put between U+2068 and U+2069 (Unicode Standard Annex 9, 2.7); direction controls
    that were typed are written as their code points. What was isolated before stays so.

    >>> isolated("2oo3"), isolated("a\u202eb") == "a\u27e8U+202E\u27e9b"
    ('2oo3', True)
    """
    return text if text.isascii() else "\n".join(map(_isolated_line, text.split("\n")))


def _isolated_line(line: str) -> str:
    kept = ISOLATES if balanced(line) else ""
    shown = _CONTROLS.sub(lambda found: found[0] if found[0] in kept else f"⟨U+{ord(found[0]):04X}⟩", line)
    if any(unicodedata.bidirectional(character) in ("R", "AL", "AN") for character in shown):
        return f"{FIRST_STRONG_ISOLATE}{shown}{POP_ISOLATE}"
    return shown


def balanced(line: str) -> bool:
    """Whether each isolate of a line ends in it and none ends before it began: such isolates turn nothing else."""
    depth = 0
    for character in line:
        depth += (character == FIRST_STRONG_ISOLATE) - (character == POP_ISOLATE)
        if depth < 0:
            return False
    return depth == 0


def without_isolates(text: str) -> str:
    """Text as it was typed, without the isolates around it."""
    return text.replace(FIRST_STRONG_ISOLATE, "").replace(POP_ISOLATE, "")
