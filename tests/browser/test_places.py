"""One clear place: the ways to a plant, and an address and a name that outlive reload, back and a restart."""

from __future__ import annotations

import re

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.plants import file_of, small_plant
from tests.browser.screens import (
    OpenPage,
    answer,
    choose,
    go,
    hand_in,
    is_at,
    message,
    place,
    restart,
    settle,
    still,
    stored,
    visit,
    who,
)
from tests.browser.server import Server

PHONE = {"width": 390, "height": 844}
LOADS_WITHIN = 120_000.0
"""Longest wait for five years of history [ms]: three seconds on an idle machine."""
SIDEWAYS = """() => Math.max(...[document.scrollingElement, document.querySelector("[data-testid=stMain]")]
  .map((box) => box.scrollWidth - box.clientWidth))"""


def _is_open_to_all(page: Page) -> None:
    """It fits the window, and axe has no grave finding."""
    still(page)
    assert page.evaluate(SIDEWAYS) <= 1
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    assert [rule["id"] for rule in found if rule["impact"] in ("serious", "critical")] == []


def _open_popover(page: Page, name: str) -> None:
    settle(page)
    page.get_by_role("button", name=name, exact=True).click()
    settle(page)


def test_an_empty_database_offers_each_way_to_a_plant(empty_server: Server, open_page: OpenPage) -> None:
    page = open_page(known_as="", viewport=PHONE, color_scheme="dark")
    visit(page, empty_server, "/common-cause?group=pt-301")
    expect(page.get_by_role("heading", name="Begin with a plant")).to_be_visible()
    _is_open_to_all(page)

    page.get_by_role("textbox", name="Name of the plant").fill("Own Works")
    page.get_by_role("button", name="Begin an empty plant").click()
    page.get_by_role("textbox", name="Your name", exact=True).fill("FS-1")
    page.get_by_role("button", name="Store", exact=True).click()
    expect(page.get_by_role("heading", name="Own Works has no safety function yet")).to_be_visible()
    expect(page.get_by_role("button", name="FS-1")).to_be_visible()
    is_at(page, "Plant")
    _is_open_to_all(page)
    hand_in(page, file_of(small_plant("Own Works")))
    expect(message(page)).to_contain_text("Own Works is stored: 2 groups, 2 answers.")

    _open_popover(page, "Plants")
    _is_open_to_all(page)
    page.get_by_role("link", name="Add or bring back a plant").click()
    expect(page.get_by_role("heading", name="Add a plant")).to_be_visible()
    hand_in(page, file_of(small_plant("Other Works")))
    expect(page.get_by_text("Other Works — invented data")).to_be_visible()

    _open_popover(page, "Plants")
    page.get_by_role("link", name="Add or bring back a plant").click()
    page.get_by_role("button", name="Look at the demo").click()
    demo = page.get_by_text("Quillmarch Works — invented data - not for use — demo")
    expect(demo).to_be_visible(timeout=LOADS_WITHIN)
    _open_popover(page, "Plants")
    page.get_by_role("button", name="Archive this plant").click()
    expect(page.get_by_text("— archived")).to_be_visible()
    archived = page.url
    visit(page, empty_server, "/")
    expect(page.get_by_text("Other Works — invented data")).to_be_visible()
    page.goto(archived)
    expect(page.get_by_text("— archived")).to_be_visible()


def test_the_address_and_the_name_outlive_reload_back_and_a_restart(own_server: Server, open_page: OpenPage) -> None:
    page = open_page(known_as="")
    visit(page, own_server, "/plant")
    is_at(page, "Plant")
    go(page, "Common-cause session")
    choose(page, "Group", "esv-501")
    choose(page, "Jump to", "TST1")
    expect(place(page)).to_contain_text("TST1")
    answer(page, "Partly").click()
    expect(page.get_by_text("TST1: Partly is not stored yet.")).to_be_visible()
    who(page, "FS-1")
    expect(stored(page)).to_contain_text("by FS-1")
    settle(page)
    expect(page).to_have_title("esv-501 · Common-cause session · Quillmarch Works")
    address = page.url
    assert re.search(r"plant=1-\w+", address)
    assert all(part in address for part in ("system=S50", "group=esv-501", "q=TST1"))

    choose(page, "Group", "pt-301")
    expect(page).to_have_url(re.compile("group=pt-301"))
    go(page, "Sign-off")
    is_at(page, "Sign-off")
    expect(page).to_have_url(re.compile("system=S30"))
    while page.url != address:
        page.go_back()
        settle(page)
    _is_there(page)
    page.go_forward()
    expect(page.get_by_role("combobox", name="Group", exact=True)).to_have_value(re.compile("^pt-301 "))
    settle(page)
    page.go_back()
    _is_there(page)
    page.wait_for_load_state("networkidle")
    restart(page, own_server)
    _is_there(page)
    page.reload()
    _is_there(page)
    assert page.url == address
    other = open_page(known_as="")
    other.goto(address)
    expect(other.get_by_role("button", name="Name and role")).to_be_visible()
    expect(place(other)).to_contain_text("TST1")


def _is_there(page: Page) -> None:
    settle(page)
    expect(place(page)).to_contain_text("TST1")
    expect(page.get_by_role("combobox", name="Group", exact=True)).to_have_value(re.compile("^esv-501 "))
    expect(answer(page, "Partly")).to_be_checked()
    expect(page.get_by_role("button", name="FS-1")).to_be_visible()


def test_what_is_searched_for_opens_at_its_place(server: Server, page: Page) -> None:
    visit(page, server, "/common-cause?group=pt-301")
    _open_popover(page, "Search")
    box = page.get_by_role("textbox", name="Function, group, tag")
    box.press_sequentially("fuel gas double")
    page.get_by_role("link", name=re.compile("^group esv-501")).click()
    expect(page).to_have_title("esv-501 · Common-cause session · Quillmarch Works")
    expect(page.get_by_role("combobox", name="Group", exact=True)).to_have_value(re.compile("^esv-501 "))
    expect(box).to_have_count(0)
