"""Blocks to write on: boxes to tick, ruled lines, and blocks that stay on one page."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from reportlab.lib.colors import HexColor

from pages.presentation.palette import LIGHT
from pages.reports.layout.blocks import Block
from pages.reports.layout.text_lines import Style, truncated, width, write

BOX, BESIDE, BETWEEN = 8.5, 4.0, 14.0
"""Side of a box to tick, its distance to its words and to the next box, in points."""
LINE = 18.0
"""Height of a line to write on by hand, in points."""
MOST_KEPT = 420.0
"""Maximum height of blocks that stay on one page, in points (house rule); taller ones may be split."""
MIN_BLOCKS = 4
"""Minimum blocks at the end of a page where blocks are split (house rule)."""


class TickBoxes(Block):
    """Boxes to tick with their words, after a label; they wrap."""

    spaceAfter = 5.0  # noqa: N815  (a name that reportlab reads)

    def __init__(self, label: str, words: Sequence[str], style: Style) -> None:
        super().__init__()
        self.label, self.words, self.style = label, words, style

    def _places(self, room: float) -> list[tuple[int, float, str]]:
        """Row, left edge and words of each box."""
        places, row = [], 0
        x = start = min(width(self.label, self.style) + BETWEEN, room / 2.0) if self.label else 0.0
        for text in self.words:
            words = truncated(text, self.style, room - start - BOX - BESIDE)
            wide = BOX + BESIDE + width(words, self.style)
            if x > start and x + wide > room:
                row, x = row + 1, start
            places.append((row, x, words))
            x += wide + BETWEEN
        return places

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        return (1 + max((row for row, _, _ in self._places(room)), default=0)) * (self.style.leading + 3.0)

    def draw(self) -> None:
        """Draw the label, and each box with its words."""
        step = self.style.leading + 3.0
        label = truncated(self.label, self.style, self.width / 2.0 - BETWEEN)
        write(self.canv, label, 0.0, self.height - self.style.size, self.style)
        self.canv.setStrokeColor(HexColor(LIGHT.ink))
        self.canv.setLineWidth(0.7)
        for row, x, words in self._places(self.width):
            y = self.height - self.style.size - row * step
            self.canv.rect(x, y - 1.2, BOX, BOX)
            write(self.canv, words, x + BOX + BESIDE, y, self.style)


class WritingLines(Block):
    """Ruled lines to write on, one column for each label, which stands at the beginning of its first line."""

    spaceAfter = 4.0  # noqa: N815  (a name that reportlab reads)

    def __init__(self, labels: Sequence[str], style: Style, *, lines: int = 1, widths: Sequence[float] = ()) -> None:
        super().__init__()
        self.labels, self.style, self.count = labels, style, lines
        self.widths = widths or [1.0] * len(labels)

    def height_at(self, _room: float) -> float:
        """Height in points."""
        return self.count * LINE

    def draw(self) -> None:
        """Draw the labels and the lines."""
        self.canv.setStrokeColor(HexColor(LIGHT.quiet))
        self.canv.setLineWidth(0.5)
        edges = [0.0]
        for part in self.widths:
            edges.append(edges[-1] + self.width * part / sum(self.widths))
        for label, (left, right) in zip(self.labels, pairwise(edges), strict=True):
            for row in range(self.count):
                y = self.height - (row + 1) * LINE + 4.0
                begin = left
                if row == 0:
                    begin += write(self.canv, label, left, y, self.style) + 4.0
                self.canv.line(begin, y - 1.5, right - (0.0 if right == edges[-1] else BETWEEN), y - 1.5)


class KeptTogether(Block):
    """Blocks that stay on one page, unless they are taller than ``MOST_KEPT``."""

    def __init__(self, blocks: Sequence[Block]) -> None:
        super().__init__()
        self.blocks = blocks
        self.spaceBefore, self.spaceAfter = blocks[0].spaceBefore, blocks[-1].spaceAfter

    def _gaps(self) -> list[float]:
        """Distance below each block but the last."""
        return [max(above.spaceAfter, below.spaceBefore) for above, below in pairwise(self.blocks)]

    def height_at(self, room: float) -> float:
        """Height in points at a width."""
        return sum(block.height_at(room) for block in self.blocks) + sum(self._gaps())

    def split(self, room: float, height: float) -> list[Any]:
        """Nothing, so that the whole moves to the next page; where it is too tall, the blocks that fit and the others."""
        if self.height_at(room) <= MOST_KEPT:
            return []
        used, count = 0.0, 0
        for block, gap in zip(self.blocks, [0.0, *self._gaps()], strict=True):
            used += gap + block.height_at(room)
            if used > height:
                break
            count += 1
        if count < MIN_BLOCKS:
            return list(self.blocks) if height > MOST_KEPT else []
        return [KeptTogether(self.blocks[:count]), KeptTogether(self.blocks[count:])]

    def draw(self) -> None:
        """Draw the blocks from the top."""
        y = self.height
        for block, gap in zip(self.blocks, [*self._gaps(), 0.0], strict=True):
            _, height = block.wrap(self.width, self.height)
            block.drawOn(self.canv, 0.0, y - height)
            y -= height + gap
