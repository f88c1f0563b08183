"""Pieces of a page that know their height and where they may be parted: text, and a heading with what it heads."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from copy import copy
from typing import Any, Self

from reportlab.platypus import Flowable

from pages.reports.layout.text_lines import Line, Style, place, wrapped, write

MIN_LINES = 3
"""So many lines of a paragraph or a cell stay together at the end and at the beginning of a page (house rule)."""
MAX_KEPT_HEADING = 120.0
"""A heading of more points than these need not stay with what it heads (house rule)."""


class Block(Flowable):  # type: ignore[misc]
    """A piece of a page, with the distances that it keeps above and below in points."""

    spaceBefore = spaceAfter = 0.0  # noqa: N815  (the page reads these names)

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Width and height in points."""
        self.width, self.height = room, self.height_at(room)
        return self.width, self.height

    @abstractmethod
    def height_at(self, room: float) -> float:
        """Height in points at a width."""

    def part(self) -> Self:
        """A copy that becomes a part of the block."""
        copied = copy(self)
        copied.__dict__.pop("_postponed", None)  # the page marks what it moved to the next page once
        return copied


class Text(Block):
    """Text of one style. ``indent`` with a ``sign`` makes an item of a list; one that ``leads`` stays with what follows."""

    keeps_with_next = False

    def __init__(self, text: str, style: Style, *, above: float = 0.0, below: float = 6.0, sign: str = "") -> None:
        super().__init__()
        self.text, self.style, self.sign = text, style, sign
        self.indent = 12.0 if sign else 0.0
        self.spaceBefore, self.spaceAfter = above, below
        self.first, self.last = 0, 1_000_000_000

    def lines(self, room: float) -> Sequence[Line]:
        """Lines of this part."""
        return wrapped(self.text, self.style, room - self.indent)[self.first : self.last]

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        return len(self.lines(room)) * self.style.leading

    def split(self, room: float, height: float) -> list[Any]:
        """Two parts of at least a few lines each."""
        many, fit = len(self.lines(room)), int(height / self.style.leading)
        fit = min(fit, max(many - MIN_LINES, MIN_LINES))
        if not MIN_LINES <= fit < many:
            return []
        before, after = self.part(), self.part()
        before.last, before.spaceAfter = self.first + fit, 0.0
        after.first, after.spaceBefore, after.sign = self.first + fit, 0.0, ""
        return [before, after]

    def draw(self) -> None:
        """Write the lines."""
        for row, line in enumerate(self.lines(self.width)):
            y = self.height - self.style.size - row * self.style.leading
            if self.sign and row == 0:
                side, anchor = (self.width, "right") if line.right_to_left else (0.0, "left")
                write(self.canv, self.sign, side, y, self.style, anchor=anchor)
            sides = (0.0, self.width - self.indent) if line.right_to_left else (self.indent, self.width)
            place(self.canv, line, sides, y, self.style)


class Heading(Text):
    """A heading that also stands in the outline of the document."""

    keeps_with_next = True

    def __init__(self, text: str, style: Style, *, level: int, above: float, below: float) -> None:
        super().__init__(text, style, above=above, below=below)
        self.level = level

    def draw(self) -> None:
        """Write the heading and set the mark; the part of a long one that goes on over the page sets none."""
        super().draw()
        if self.first == 0:
            self.canv.marked(self.text, self.level, self.height)


class HeadedBlock(Block):
    """A heading, or a sentence that leads, with the beginning of what it stands before."""

    def __init__(self, head: Text, body: Block) -> None:
        super().__init__()
        self.head, self.body = head, body
        self.spaceBefore, self.spaceAfter = head.spaceBefore, body.spaceAfter

    def _head_height(self, room: float) -> float:
        return self.head.height_at(room) + max(self.head.spaceAfter, self.body.spaceBefore)

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        return self._head_height(room) + self.body.height_at(room)

    def split(self, room: float, height: float) -> list[Any]:
        """The heading with the first part of what it heads. A name of very many lines in a heading flows by itself."""
        top = self._head_height(room)
        if top > MAX_KEPT_HEADING:
            whole = self.head.height_at(room) <= height
            flowing = [self.head] if whole else self.head.split(room, height)
            return [*flowing, self.body] if flowing else []
        parts = self.body.split(room, height - top)
        return [HeadedBlock(self.head, parts[0]), *parts[1:]] if parts else []

    def draw(self) -> None:
        """Draw the one below the other."""
        self.head.wrap(self.width, self.height)
        self.head.drawOn(self.canv, 0.0, self.height - self.head.height)
        self.body.wrap(self.width, self.height)
        self.body.drawOn(self.canv, 0.0, 0.0)
