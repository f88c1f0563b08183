"""Colours and patterns of fills, the same on screens and on paper. Patterns carry the meaning; colour is an aid."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

Colour = Literal["kept", "cyber", "shared", "ink", "quiet", "line", "paper"]
"""Names of the colours of a palette."""


@dataclass(frozen=True, slots=True)
class Palette:
    """One set of colours."""

    kept: str
    cyber: str
    shared: str
    ink: str
    quiet: str
    line: str
    paper: str

    def of(self, colour: Colour) -> str:
        """The colour of a name."""
        return str(getattr(self, colour))

    def style(self, text: str) -> str:
        """A style sheet with these colours in the place of their names in capitals, such as ``INK``."""
        for colour in fields(self):
            text = text.replace(colour.name.upper(), str(getattr(self, colour.name)))
        return text


LIGHT = Palette("#14656B", "#B4471F", "#C8A24A", "#17202A", "#55606B", "#CFCBBF", "#FBFAF7")
DARK = Palette("#5FB3B8", "#E58A5B", "#D9BE7C", "#E8ECEF", "#A9B4BE", "#3A434B", "#14181C")

SOLID, CROSS, SLANT, UPRIGHT, LEVEL = "", "x", "/", "|", "-"
"""Redundancy left is solid, lost to the cyber scenario is cross-hatched, lost to common cause is slanted.

Striped upright is what no beta changes: time in test, test errors, stated results. Striped level is what others published."""

FONT = '"Source Sans", "Source Sans Pro", sans-serif'
