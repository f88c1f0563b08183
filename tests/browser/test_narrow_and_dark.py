"""Work on a phone, and in the dark."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from pages.presentation.palette import DARK
from tests.browser.screens import SCREENS, OpenPage, answer, drawn, go, is_at, rail, rgb, settle, stored, visit
from tests.browser.server import Server

PHONE = {"width": 390, "height": 844}
ANSWERS = ("Met", "Partly", "Not met", "Not known", "Met by a compensating measure", "Does not apply")
SESSIONS = ("Common-cause session", "Cyber session")


@pytest.mark.parametrize("screen", SESSIONS)
def test_every_answer_is_within_reach_on_a_phone(server: Server, open_page: OpenPage, screen: str) -> None:
    page = open_page(viewport=PHONE, has_touch=True)
    visit(page, server, SCREENS[screen])
    for name in ANSWERS:
        answer(page, name).tap(trial=True)
        box = answer(page, name).bounding_box()
        assert box is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE["width"]
        assert box["height"] >= 24, "a thumb needs room"
    answer(page, "Not met").tap()
    expect(stored(page)).to_be_visible()
    expect(answer(page, "Not met")).to_be_checked()


def test_on_a_phone_the_navigation_leads_to_every_screen(server: Server, open_page: OpenPage) -> None:
    page = open_page(viewport=PHONE)
    visit(page, server, "/")
    for screen in ("Zones and gaps", "Redundancy left", "Cyber session", "Common-cause session", "Plant"):
        go(page, screen)
        is_at(page, screen)
        settle(page)


def test_a_reader_who_turns_the_lights_out_gets_dark_drawings_at_once(server: Server, page: Page) -> None:
    visit(page, server, SCREENS["Common-cause session"])
    drawn(page, "Common-cause session")
    page.emulate_media(color_scheme="dark")
    expect(page.get_by_test_id("stApp")).to_have_css("background-color", rgb(DARK.paper))
    expect(rail(page).locator(".kept")).to_have_css("background-color", rgb(DARK.kept))
