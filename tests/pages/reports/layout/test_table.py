"""Tables on paper: they continue over pages, repeat their heads, and stay inside the page."""

from __future__ import annotations

import re
from typing import Any

import pytest

from pages.reports.layout import page_layout, text_lines
from tests.pages.reports.read import printed, text


@pytest.fixture
def placed(monkeypatch: pytest.MonkeyPatch) -> list[tuple[float, float]]:
    """Left and right end of every line on the page."""
    lines: list[tuple[float, float]] = []
    draw = text_lines.draw

    def noted(
        canvas: Any, line: text_lines.Line, x: float, y: float, style: text_lines.Style, *, anchor: str = "left"
    ) -> None:
        left = canvas.absolutePosition(x, y)[0] - {"left": 0.0, "middle": 0.5, "right": 1.0}[anchor] * line.width
        if (x, y) != (0.0, 0.0):  # except the page count, which is a form
            lines.append((left, left + line.width))
        draw(canvas, line, x, y, style, anchor=anchor)

    monkeypatch.setattr(text_lines, "draw", noted)
    return lines


def test_a_thousand_rows_are_in_order_under_a_head_on_every_page() -> None:
    rows = [[f"row-{at}", "a note of some words that wraps in its cell here", f"{at:,}"] for at in range(1_000)]
    document = printed(page_layout.table(["Key", "Note", "Figure"], rows, widths=(1, 2, 1), right={2}))
    pages = [page.extract_text() for page in document.pages]
    assert all("Key" in page and "Note" in page and "Figure" in page for page in pages)
    assert re.findall(r"row-\d+", "\n".join(pages)) == [f"row-{at}" for at in range(1_000)]


@pytest.mark.parametrize("cell", ["w" * 2000, "word " * 4000, "漢" * 3000, "ש" * 3000, "a-b/c " * 2000])
def test_a_cell_taller_than_a_page_continues_and_stays_inside_the_page(
    cell: str, placed: list[tuple[float, float]]
) -> None:
    document = printed(page_layout.table(["Key", "Cell"], [["1", cell], ["2", "short"]], widths=(1, 1)))
    assert len(document.pages) >= 1
    wanted = "".join(cell.split())
    shown = "".join(text(document).split())
    assert sum(shown.count(character) for character in set(wanted)) >= len(wanted)
    assert min(left for left, _ in placed) >= page_layout.LEFT - 0.01
    assert max(right for _, right in placed) <= page_layout.RIGHT + 0.01


def test_a_row_of_few_lines_is_never_split() -> None:
    rows = [[f"first-{at}", f"first-{at}\n2\n3\n4\nlast-{at}"] for at in range(60)]
    document = printed(page_layout.table(["Key", "Lines"], rows, widths=(1, 3)))
    assert len(document.pages) > 3
    for page in document.pages:
        shown = page.extract_text()
        assert set(re.findall(r"first-(\d+)", shown)) == set(re.findall(r"last-(\d+)", shown))


def test_figures_are_right_aligned(placed: list[tuple[float, float]]) -> None:
    printed(page_layout.table(["Figure"], [["1"], ["1,000"], ["20"]], widths=(1,), right={0}))
    ends = {
        round(right, 2) for left, right in placed if left > page_layout.LEFT + 100.0 and right > page_layout.RIGHT - 1.0
    }
    assert ends == {round(page_layout.RIGHT, 2)}


def test_a_column_name_of_any_length_leaves_space_for_rows() -> None:
    document = printed(page_layout.table(["n" * 2000, "b"], [["1", "2"]] * 200, widths=(1, 9)))
    assert text(document).count("…") == len(document.pages) < 12


def test_a_table_without_rows_shows_its_head_wherever_the_page_ends() -> None:
    for lines_before in range(40, 56):
        document = printed(
            page_layout.items(["x"] * lines_before), page_layout.table(["Key", "Cell"], [], widths=(1, 1))
        )
        assert text(document).count("Key") == 1
