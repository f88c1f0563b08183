"""An own plant by screen: from an empty database to an answered, reported safety function, with reloads between."""

from __future__ import annotations

import re
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from tests.browser.screens import OpenPage, answer, go, is_at, rail, settle, still, stored, visit
from tests.browser.server import Server


def _part(page: Page, title: str) -> Locator:
    """The box of sensors, solver or final elements in the form of a new function."""
    boxes = page.get_by_test_id("stColumn").filter(has=page.get_by_text(title, exact=True))
    return boxes.last


def _type(page: Page, box: Locator, text: str) -> None:
    box.fill(text)
    box.press("Enter")
    settle(page)


def _pick(page: Page, box: Locator, text: str) -> None:
    """Type an option that may be new, and leave the list."""
    box.click()
    box.fill(text)
    expect(page.get_by_role("option", name=re.compile(re.escape(text))).first).to_be_visible()
    box.press("Enter")
    page.wait_for_timeout(300)  # the list takes the option, then it can be left
    page.get_by_text("Choose what the function is made of").click()
    settle(page)


def _new_group(page: Page, part: Locator, group: str, device: str, rates: tuple[str, str]) -> None:
    _type(page, part.get_by_role("textbox", name="Group id"), group)
    _pick(page, part.get_by_role("combobox", name="Devices in series"), device)
    for name, text in zip(("lambda DU", "lambda DD", "source"), (*rates, "site list"), strict=True):
        _type(page, part.get_by_role("textbox", name=re.compile(f"^{device}: {name}")), text)


def _rate(page: Page, text: str) -> None:
    """Type a rate into the form of one entry and put it into the draft."""
    page.get_by_role("textbox", name="Lambda DU [FIT]").fill(text)
    page.get_by_role("button", name="Put it into the draft").click()
    settle(page)


def test_a_newcomer_enters_assesses_and_reports_an_own_function(
    empty_server: Server, open_page: OpenPage, tmp_path: Path
) -> None:
    page = open_page(known_as="FS-1")
    visit(page, empty_server, "/")
    page.get_by_role("textbox", name="Name of the plant").fill("Marl Brine")
    page.get_by_role("button", name="Begin an empty plant").click()
    page.get_by_role("link", name="Set it up on screen").click()
    is_at(page, "Set up")
    settle(page)
    _type(page, page.get_by_role("textbox", name="Function id"), "SIF-1")
    _type(page, page.get_by_role("textbox", name="Target"), "SIL 1")
    _pick(page, page.get_by_role("combobox", name="Safety system"), "S1")
    sensors, solver, final = (_part(page, title) for title in ("Sensors", "Logic solver", "Final elements"))
    _new_group(page, sensors, "lt-1", "LT", ("450", "850"))
    _pick(page, sensors.get_by_role("combobox", name="Security zone"), "sis")
    solver.get_by_role("combobox", name="Made of").click()
    page.get_by_role("option", name="Bought, with a stated result").click()
    settle(page)
    _type(page, solver.get_by_role("textbox", name="Group id"), "ls-1")
    _type(page, solver.get_by_role("textbox", name="PFDavg or PFH as stated"), "1,2e-4")
    _type(page, solver.get_by_role("textbox", name="Source"), "certificate 7")
    _new_group(page, final, "xv-1", "XV", ("900", ""))
    page.get_by_role("button", name="Add it to the draft").click()
    expect(page.get_by_text("8 new, 0 changed, 0 gone; 1 result different.")).to_be_visible()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text(re.compile("^Saved: 8 new"))).to_be_visible()

    _correct_a_rate(page, empty_server)
    _assess_and_report(page, empty_server, tmp_path)


def _correct_a_rate(page: Page, server: Server) -> None:
    """By the form of one entry: a fault at its cell, then a decimal comma, saved; a reload leads to the same sheet."""
    visit(page, server, "/set-up?sheet=Devices")
    page.get_by_text("One entry as a form").click()
    _rate(page, "7,5 FIT")
    expect(page.get_by_text("7,5 FIT: no number")).to_be_visible()
    expect(page.get_by_role("button", name="Save", exact=True)).to_be_disabled()
    _rate(page, "600,5")
    expect(page.get_by_role("cell", name="600.5")).to_be_visible()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text(re.compile("^Saved: 0 new, 1 changed"))).to_be_visible()
    page.reload()
    settle(page)
    expect(page).to_have_url(re.compile("sheet=Devices"))


def _assess_and_report(page: Page, server: Server, folder: Path) -> None:
    visit(page, server, "/common-cause?group=lt-1&q=SEP1")
    answer(page, "Met").click()
    expect(stored(page)).to_contain_text("by FS-1")
    expect(rail(page)).to_be_visible()
    page.reload()
    settle(page)
    expect(answer(page, "Met")).to_be_checked()
    go(page, "Sign-off")
    settle(page)
    page.get_by_role("button", name="Submit for review").click()
    expect(page.get_by_role("heading", name="S1 is under review")).to_be_visible()
    settle(page)
    with page.expect_download() as download:
        page.get_by_role("button", name="Safety report (PDF)").click()
    printed = folder / download.value.suggested_filename
    download.value.save_as(printed)
    assert printed.read_bytes().startswith(b"%PDF-")


def test_set_up_fits_a_phone_in_the_dark_and_has_no_grave_finding(server: Server, open_page: OpenPage) -> None:
    page = open_page(viewport={"width": 390, "height": 844}, color_scheme="dark")
    visit(page, server, "/set-up?sheet=Groups")
    still(page)
    wide = "() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
    assert page.evaluate(wide) <= 1
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    grave = {rule["id"]: rule["nodes"] for rule in found if rule["impact"] in ("serious", "critical")}
    own = {name: nodes for name, nodes in grave.items() if any("glide" not in node["html"] for node in nodes)}
    assert own == {}
