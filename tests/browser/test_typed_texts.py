"""What somebody is typing is there again after a reload or a restart, in its own box only, and is stored once it is left."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from tests.browser.screens import OpenPage, answer, choose, evidence, place, settle, step, stored, visit
from tests.browser.seats import NAMED
from tests.browser.server import Server

TST1 = "/common-cause?group=esv-501&q=TST1"


def _note(page: Page) -> Locator:
    return page.get_by_role("textbox", name="Note", exact=True)


def test_a_half_typed_text_survives_a_reload_and_is_stored_when_its_box_is_left(
    server: Server, open_page: OpenPage
) -> None:
    page = open_page()
    visit(page, server, TST1)
    answer(page, "Met").click()
    expect(stored(page)).to_be_visible()
    evidence(page).press_sequentially("proof-test record 12, half ty")
    page.reload()
    settle(page)
    expect(evidence(page)).to_have_value("proof-test record 12, half ty")
    expect(evidence(page)).to_be_focused()
    evidence(page).press_sequentially("ped")
    evidence(page).press("Tab")
    settle(page)
    other = open_page(known_as="TM-8")
    visit(other, server, TST1)
    expect(evidence(other)).to_have_value("proof-test record 12, half typed")
    page.reload()
    settle(page)
    expect(evidence(page)).to_have_value("proof-test record 12, half typed")
    expect(evidence(page)).not_to_be_focused()


def test_a_half_typed_text_survives_a_restart_and_appears_at_no_other_question(
    server: Server, open_page: OpenPage
) -> None:
    page = open_page()
    visit(page, server, TST1)
    before = _note(page).input_value()
    _note(page).fill(f"{before} and what was not sent")
    page.goto("about:blank")
    server.kill()
    server.start()
    visit(page, server, "/common-cause?group=esv-501&q=ENV2")
    expect(_note(page)).not_to_have_value(re.compile("was not sent"))
    choose(page, "Jump to", "TST1")
    expect(place(page)).to_contain_text("TST1")
    expect(_note(page)).to_have_value(f"{before} and what was not sent")
    step(page, "Previous").click()  # leaves the box, so its text is stored
    expect(place(page)).not_to_contain_text("TST1")
    expect(_note(page)).not_to_have_value(re.compile("was not sent"))
    step(page, "Next").click()
    expect(_note(page)).to_have_value(f"{before} and what was not sent")
    expect(stored(page)).to_contain_text(f"by {NAMED}")
