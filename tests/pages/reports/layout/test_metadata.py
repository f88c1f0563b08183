"""The metadata of a document, read by a general-purpose PDF library."""

from __future__ import annotations

from dataclasses import replace

from pages.reports.layout import page_layout
from tests.pages.reports.read import PLAIN, printed


def test_title_subject_and_day_are_read_as_xmp_and_typed_text_stays_text() -> None:
    title = "Safety report: S30, R&D <site> Łódź"
    found = printed(page_layout.paragraph("A line."), on=replace(PLAIN, title=title)).xmp_metadata
    assert found is not None
    assert found.dc_title == {"x-default": title}
    assert found.dc_description == {"x-default": PLAIN.note}
    assert found.dc_language == ["en-GB"]
    assert found.xmp_creator_tool == "Shared-Cause Review"
    assert found.xmp_create_date is not None
    assert found.xmp_create_date.date() == PLAIN.date
