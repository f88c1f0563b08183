"""A session in a meeting room: all on one screen of a projector, and nothing moves when a message comes."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from pages.presentation.palette import DARK
from tests.browser.screens import OpenPage, answer, evidence, message, place, rail, rgb, settle, still, stored, visit
from tests.browser.server import Server

HIGH = 800
PRESSED = ("[class*='st-key-value_']", ".st-key-steps", ".st-key-places")
"""Containers with what is pressed: answers, steps, groups."""


def _parts(page: Page) -> list[Locator]:
    note = page.get_by_role("textbox", name="Note", exact=True)
    ladder = page.locator(".ladder[role=img]")
    return [
        page.locator(".st-key-question"),
        rail(page),
        ladder,
        evidence(page),
        note,
        page.get_by_test_id("stProgress"),
    ]


def _box(part: Locator) -> dict[str, Any]:
    box = part.bounding_box()
    assert box is not None
    return dict(box)


def _places(page: Page) -> list[dict[str, Any]]:
    return [_box(page.locator(name)) for name in PRESSED] + [_box(evidence(page))]


def _size(part: Locator) -> float:
    return float(part.evaluate("part => parseFloat(getComputedStyle(part).fontSize)"))


def _grave(page: Page) -> list[str]:
    rules = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    grave = [rule for rule in rules if rule["impact"] in ("serious", "critical")]
    return [f"{rule['id']}: {node['html']}" for rule in grave for node in rule["nodes"]]


def test_a_meeting_room_sees_question_effect_and_progress_at_once_and_nothing_moves(
    server: Server, open_page: OpenPage
) -> None:
    page = open_page(timezone_id="Asia/Kathmandu")
    visit(page, server, "/common-cause?group=ls-sis&q=ASM1")
    page.get_by_role("button", name="Room view").click()
    expect(page.get_by_role("button", name="Ordinary view")).to_be_visible()
    page.reload()
    settle(page)
    expect(page.get_by_role("button", name="Ordinary view")).to_be_visible()
    assert max(_box(part)["y"] + _box(part)["height"] for part in _parts(page)) <= HIGH
    assert _size(page.locator(".st-key-question h3")) >= 28
    assert _size(answer(page, "Partly").locator("p")) >= 24

    before = _places(page)
    other = "Not met" if answer(page, "Partly").is_checked() else "Partly"
    answer(page, other).focus()
    page.keyboard.press("Space")
    expect(answer(page, other)).to_be_checked()
    expect(page.get_by_text("UTC+0545")).to_be_visible()
    assert _places(page) == before, "an answer moves nothing"
    answer(page, "Met by a compensating measure").click()
    expect(message(page)).to_contain_text("give the reason in the note")
    assert _places(page) == before, "a message moves nothing"
    reason = page.get_by_role("textbox", name="Reason, needed to store this answer")
    reason.fill("one search for all channels")
    reason.press("Tab")
    expect(stored(page)).to_be_visible()
    expect(message(page)).to_have_count(0)
    expect(page.locator(".st-key-beside_effect")).to_contain_text("5 % to 95 %")  # the last that comes
    still(page)
    assert _grave(page) == []
    page.emulate_media(color_scheme="dark")
    expect(page.locator(".ladder")).to_have_css("color", rgb(DARK.ink))
    still(page)
    assert _grave(page) == []

    page.keyboard.press("d")
    expect(place(page)).not_to_contain_text("ASM1")
    expect(message(page)).to_be_visible()
    assert max(_box(part)["y"] + _box(part)["height"] for part in _parts(page)) <= HIGH

    visit(page, server, "/common-cause?group=esv-501&q=TST1&view=room")  # four lines
    question, answers = page.locator(".st-key-question h3"), page.locator("[class*='st-key-value_']").first
    assert _box(question)["height"] > 3 * _size(question)
    assert _box(question)["y"] + _box(question)["height"] <= _box(answers)["y"]
    assert max(_box(part)["y"] + _box(part)["height"] for part in _parts(page)) <= HIGH
