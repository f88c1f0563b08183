"""A shared link leads to the screen and the place in it, even on a server that nobody has used yet."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.screens import SECTION_LINKS, place, visit
from tests.browser.server import Server

LINKS = (
    ("/common-cause?group=esv-501&q=TST1", "Group", "esv-501", "TST1"),
    ("/cyber?zone=Z3&q=Z04", "Zone", "Z3", "Z04"),
)


@pytest.mark.parametrize(("link", "label", "key", "question"), LINKS)
def test_the_first_request_of_all_finds_its_screen_and_place(
    own_server: Server, page: Page, link: str, label: str, key: str, question: str
) -> None:
    visit(page, own_server, link)
    expect(page.get_by_role("combobox", name=label, exact=True)).to_have_value(re.compile(f"^{key} "))
    expect(place(page)).to_contain_text(question)
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_text("Page not found")).to_have_count(0)
    expect(page.locator(SECTION_LINKS).first).to_be_visible()
