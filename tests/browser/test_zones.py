"""Zones and gaps: selection in the drawing, filters, and a gap list as a file that no spreadsheet executes."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from playwright.sync_api import Page, expect

from checks.assessment.cautions import CAUTIONS
from tests.browser.plants import file_of, small_plant
from tests.browser.screens import choose, hand_in, message, number, settle, visit
from tests.browser.server import Server

MARK = "\ufeff".encode()
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def _shown(page: Page) -> tuple[float, float]:
    """Number of gaps listed, and of all gaps."""
    sentence = page.get_by_text(re.compile(r"^\d+ of \d+ gaps\.")).inner_text()
    shown, total = re.findall(r"\d+", sentence)[:2]
    return number(shown), number(total)


def _download(page: Page, folder: Path) -> tuple[bytes, list[list[str]]]:
    settle(page)
    with page.expect_download() as handed:
        page.get_by_role("button", name="Download these gaps (CSV)").click()
    kept = folder / handed.value.suggested_filename
    handed.value.save_as(kept)
    raw = kept.read_bytes()
    return raw, list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))


def _pick(page: Page, label: str, option: str) -> None:
    box = page.get_by_role("combobox", name=label, exact=True)
    box.click()
    box.fill(option)
    page.get_by_role("option", name=option, exact=True).click()
    page.keyboard.press("Escape")


def test_a_click_on_a_box_of_the_drawing_chooses_its_zone(server: Server, page: Page) -> None:
    visit(page, server, "/zones")
    box = page.locator(".st-key-zone_map").get_by_text("Site DMZ")
    expect(box).to_be_visible()
    box.click(force=True)  # a plotly layer above the drawing takes the clicks
    expect(page).to_have_url(re.compile("zone=Z2"))
    expect(page.get_by_role("combobox", name="Zone", exact=True)).to_have_value(re.compile("^Z2 "))
    expect(page.get_by_role("heading", name="Gaps of Z2")).to_be_visible()
    choose(page, "Zone", "Z3")
    expect(page.get_by_role("heading", name="Gaps of Z3")).to_be_visible()
    expect(page).to_have_url(re.compile("zone=Z3"))


def test_the_filters_narrow_the_list_and_the_file(server: Server, page: Page, tmp_path: Path) -> None:
    visit(page, server, "/zones?zone=Z5")
    _, total = _shown(page)
    _pick(page, "Weight", "3")
    expect(page.get_by_text(re.compile(rf"^(?!{total:.0f} )\d+ of {total:.0f} gaps\."))).to_be_visible()
    heavy, _ = _shown(page)
    assert 0 < heavy < total
    _pick(page, "Foundational requirement", "SI")
    expect(page.get_by_text(re.compile(rf"^(?!{heavy:.0f} )\d+ of {total:.0f} gaps\."))).to_be_visible()
    both, _ = _shown(page)
    assert both < heavy
    _, rows = _download(page, tmp_path)
    head = next(row for row in rows if row[:1] == ["Id"])
    gaps = [dict(zip(head, row, strict=True)) for row in rows[rows.index(head) + 1 :]]
    assert len(gaps) == both
    assert all(gap["Weight"] == "3" and "SI" in gap["FR"].split(", ") for gap in gaps)


def test_the_gap_file_opens_as_text_in_a_spreadsheet(server: Server, page: Page, tmp_path: Path) -> None:
    visit(page, server, "/")
    hand_in(page, file_of(small_plant("=1+1", plant={"name": "=1+1", "note": "@invented"})))
    expect(message(page)).to_contain_text("is stored")
    page.goto(page.url.replace("/?", "/zones?"))
    expect(page.get_by_role("heading", name="Gaps of Z-1")).to_be_visible()
    raw, rows = _download(page, tmp_path)
    assert raw.startswith(MARK)
    assert rows[0] == ["'=1+1, zone Z-1"]
    assert [row[0] for row in rows if row[:1] and row[0] in CAUTIONS] == list(CAUTIONS)
    assert [cell for row in rows for cell in row if cell.startswith(FORMULA)] == []
    assert any(row[:1] == ["Z01"] for row in rows)


def test_a_table_goes_out_by_its_own_button_only(server: Server, page: Page) -> None:
    """The toolbar of a table would export cells that a spreadsheet executes, and record no event."""
    visit(page, server, "/set-up?sheet=Devices")
    page.get_by_test_id("stDataFrame").last.hover()
    tools = page.get_by_test_id("stElementToolbar").last
    expect(tools.get_by_role("button", name=re.compile("^Fullscreen"))).to_be_visible()
    expect(tools.get_by_role("button", name=re.compile("^Download"))).to_have_count(0)
