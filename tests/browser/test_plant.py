"""Plant: links from the rails, import and download of a plant file."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from checks.plantfile import plant_file
from tests.browser.plants import file_of, small_plant
from tests.browser.screens import UPLOAD, answer, choose, go, hand_in, is_at, message, settle, visit
from tests.browser.server import Server

BROKEN = {
    "zones": {"Z-1": {"sl_target": {"IAC": 9}}, "Z-2": {}},
    "functions": {"SIF-1": {"demand": "low", "target_rrf": 100, "groups": ["pt-1", "nothing"]}},
    "extra": True,
}
LARGE = 200_000_000
FAULTS = ("broken.yaml: zones.Z-1.sl_target.IAC", "broken.yaml: functions.SIF-1.groups", "broken.yaml: extra")


def _shown(page: Page, function: str) -> None:
    expect(page).to_have_url(re.compile(rf"/redundancy\?.*function={function}"))
    expect(page.get_by_role("combobox", name="Function", exact=True)).to_have_value(re.compile(f"^{function} "))
    expect(page.get_by_role("heading", name="The four cases")).to_be_visible()


def test_a_click_on_a_rail_leads_to_what_is_left_of_its_function(server: Server, page: Page) -> None:
    visit(page, server, "/")
    bars = page.locator(".st-key-rails_low .barlayer .trace").first.locator("path")
    expect(bars).to_have_count(7)
    bars.nth(1).click(force=True)  # a plotly layer above the drawing takes the clicks
    _shown(page, "SIF-501")
    settle(page)
    for _ in range(2):  # the second entry is the same place: the program completed its address
        page.go_back()
        settle(page)
    expect(page.get_by_role("heading", name="What is left of the redundancy")).to_be_visible()
    settle(page)
    expect(page).not_to_have_url(re.compile("/redundancy"))


def test_a_chosen_function_opens_without_the_drawing(server: Server, page: Page) -> None:
    visit(page, server, "/")
    choose(page, "Function", "SIF-702")
    page.get_by_role("button", name="Open", exact=True).last.click()
    _shown(page, "SIF-702")


def test_a_broken_file_is_refused_with_every_fault_and_changes_nothing(server: Server, page: Page) -> None:
    visit(page, server, "/")
    page.locator(UPLOAD).set_input_files(file_of(small_plant("Never stored", **BROKEN), "broken.yaml"))
    expect(message(page)).to_contain_text("Import rejected, nothing changed: 3 faults in the file")
    faults = page.get_by_test_id("stCode")
    for fault in FAULTS:
        expect(faults).to_contain_text(fault)
    page.reload()
    settle(page)
    expect(page.get_by_text("Quillmarch Works — invented data")).to_be_visible()
    expect(page.get_by_text("Never stored")).to_have_count(0)


def test_a_file_that_is_no_text_is_refused_in_words(server: Server, page: Page) -> None:
    visit(page, server, "/")
    picture = b"\x89PNG\r\n\x1a\n\x00\xff\xfe"
    page.locator(UPLOAD).set_input_files({"name": "plant.yaml", "mimeType": "application/yaml", "buffer": picture})
    expect(message(page)).to_contain_text("Import rejected, nothing changed")
    expect(page.get_by_test_id("stCode")).to_contain_text("plant.yaml: ")


def test_two_hundred_megabytes_are_refused_before_anything_is_sent(server: Server, page: Page, tmp_path: Path) -> None:
    large = tmp_path / "plant.yaml"
    with large.open("wb") as file:
        file.truncate(LARGE)
    visit(page, server, "/")
    page.locator(UPLOAD).set_input_files(large)
    expect(page.get_by_test_id("stFileUploader")).to_contain_text("File must be 32.0MB or smaller.")
    expect(page.get_by_role("button", name="Import", exact=True)).to_have_count(0)
    settle(page)
    expect(page.get_by_text("Quillmarch Works — invented data")).to_be_visible()


def test_a_good_file_is_shown_and_its_download_reads_back(server: Server, page: Page, tmp_path: Path) -> None:
    visit(page, server, "/")
    uploaded = file_of(small_plant("Little Works"))
    hand_in(page, uploaded)
    expect(message(page)).to_contain_text("Little Works is stored: 2 groups, 2 answers.")
    expect(page.get_by_text("Little Works — invented data - not for use")).to_be_visible()
    expect(page.get_by_role("figure", name=re.compile("^SIF-1: RRF"))).to_be_visible()
    settle(page)
    with page.expect_download() as handed:
        page.get_by_role("button", name="Download this plant with its answers").click()
    kept = tmp_path / handed.value.suggested_filename
    handed.value.save_as(kept)
    assert plant_file.from_bytes(kept.name, kept.read_bytes()) == plant_file.from_bytes("given", uploaded["buffer"])


def test_the_chosen_plant_stays_when_one_goes_to_another_screen(server: Server, page: Page) -> None:
    visit(page, server, "/")
    hand_in(page, file_of(small_plant("Second Works")))
    expect(page.get_by_text("Second Works — invented data")).to_be_visible()
    for screen in ("Common-cause session", "Cyber session", "Redundancy left", "Zones and gaps", "Plant"):
        go(page, screen)
        is_at(page, screen)
        settle(page)
        expect(page.get_by_text("Second Works — invented data")).to_be_visible()
    go(page, "Common-cause session")
    answer(page, "Partly").click()
    expect(page.get_by_text("Second Works — invented data")).to_be_visible()
