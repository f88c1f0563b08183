"""Blocks of a page with their height and where they may be split: text, and a heading with the block below it."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from copy import copy
from typing import Any, Self

from reportlab.platypus import Flowable

from pages.reports.layout.text_lines import Line, Style, place, wrapped, write

MIN_LINES = 3
"""Minimum lines of a paragraph or a cell at the end and at the top of a page (house rule)."""
MAX_KEPT_HEADING = 120.0
"""Maximum height of a heading that stays with the block below it, in points (house rule)."""


class Block(Flowable):  # type: ignore[misc]
    """A block of a page; ``spaceBefore`` and ``spaceAfter`` are the distances to its neighbours, in points."""

    spaceBefore = spaceAfter = 0.0  # noqa: N815  (names that reportlab reads)

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Width and height in points (called by reportlab)."""
        self.width, self.height = room, self.height_at(room)
        return self.width, self.height

    @abstractmethod
    def height_at(self, room: float) -> float:
        """Height in points at a width."""

    def part(self) -> Self:
        """A copy that becomes one part of a split block."""
        copied = copy(self)
        copied.__dict__.pop("_postponed", None)  # set by reportlab once it has moved a block to the next page
        return copied


class Text(Block):
    """Text of one style. A ``sign`` makes it a list item; with ``keeps_with_next`` it stays with the block that follows."""

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
        """Two parts of at least ``MIN_LINES`` lines each; empty if that is impossible."""
        count, fit = len(self.lines(room)), int(height / self.style.leading)
        fit = min(fit, max(count - MIN_LINES, MIN_LINES))
        if not MIN_LINES <= fit < count:
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
    """A heading with an entry in the document outline."""

    keeps_with_next = True

    def __init__(self, text: str, style: Style, *, level: int, above: float, below: float) -> None:
        super().__init__(text, style, above=above, below=below)
        self.level = level

    def draw(self) -> None:
        """Write the heading and set its outline entry; the continuation of a long heading sets none."""
        super().draw()
        if self.first == 0:
            self.canv.marked(self.text, self.level, self.height)


class HeadedBlock(Block):
    """A heading or lead-in sentence, kept with the beginning of the block that follows."""

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
        """The heading with the first part of the block below it. A very tall heading flows on its own."""
        top = self._head_height(room)
        if top > MAX_KEPT_HEADING:
            whole = self.head.height_at(room) <= height
            flowing = [self.head] if whole else self.head.split(room, height)
            return [*flowing, self.body] if flowing else []
        parts = self.body.split(room, height - top)
        return [HeadedBlock(self.head, parts[0]), *parts[1:]] if parts else []

    def draw(self) -> None:
        """Draw the heading above the block."""
        self.head.wrap(self.width, self.height)
        self.head.drawOn(self.canv, 0.0, self.height - self.head.height)
        self.body.wrap(self.width, self.height)
        self.body.drawOn(self.canv, 0.0, 0.0)
