"""Blocks that stay on one page: small tables and charts, and a lead-in with the block that follows."""

from __future__ import annotations

from typing import Any

import pytest

from pages.reports.layout import page_layout
from tests.pages.reports.read import printed

ROWS = [[f"row-{at}", "x"] for at in range(6)]


def filled(points: float) -> list[Any]:
    """Filler of a height in points, in lines of 13.5 points."""
    return page_layout.paragraph("\n".join(["filler"] * int(points / 13.5)))


@pytest.mark.parametrize("left", range(20, 160, 20))
def test_a_small_table_stays_whole_with_its_heading_and_the_sentence_before_it(left: int) -> None:
    parts = [
        *filled(page_layout.TOP - page_layout.BOTTOM - left),
        *page_layout.heading("Above"),
        *page_layout.lead("It leads."),
    ]
    document = printed([*parts, *page_layout.table(("Key", "What"), ROWS, widths=(1, 1))])
    pages = [page.extract_text() for page in document.pages]
    (where,) = [at for at, page in enumerate(pages) if "row-0" in page]
    for words in ("Above", "It leads.", *(f"row-{at}" for at in range(6))):
        assert words in pages[where]


@pytest.mark.parametrize(("left", "begins"), [(60, False), (100, False), (140, True), (300, True)])
def test_a_long_table_continues_over_pages_but_does_not_begin_at_the_bottom(left: int, begins: bool) -> None:  # noqa: FBT001
    rows = [[f"row-{at}", "x"] for at in range(200)]
    parts = filled(page_layout.TOP - page_layout.BOTTOM - left)
    document = printed([*parts, *page_layout.table(("Key", "What"), rows, widths=(1, 1))])
    pages = [page.extract_text() for page in document.pages]
    assert ("row-2" in pages[0]) == begins
    assert "row-199" in pages[-1]
    assert len(pages) > 4


def test_a_lead_in_longer_than_a_page_continues() -> None:
    document = printed([*page_layout.lead("word " * 4000), *page_layout.table(("Key", "What"), ROWS, widths=(1, 1))])
    assert len(document.pages) > 2
    assert "row-5" in document.pages[-1].extract_text()
