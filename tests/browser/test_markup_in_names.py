"""Names, notes and evidence that hold markup are shown as typed on every screen; nothing is fetched and nothing runs."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.plants import MARKUP, file_of, hostile_plant
from tests.browser.screens import drawn, hand_in, message, number, rail, settle, table, unfold
from tests.browser.server import Server

NAME = hostile_plant()["plant"]["name"]
NOTE = hostile_plant()["plant"]["note"]
HIT = "() => typeof window.hit !== 'undefined'"
FETCHED = """() => [...document.querySelectorAll("[data-testid=stMain] :is(img, script, iframe, object, a[href*='example.invalid'])")]
  .filter((one) => one.getAttribute("src") !== "/typed-texts.js").map((one) => one.outerHTML)"""


def _shown_as_typed(page: Page, number: int) -> None:
    settle(page)
    expect(page.get_by_text(f"{NAME} — {NOTE}", exact=True)).to_be_visible()
    unfold(page)
    assert page.evaluate(FETCHED) == []
    assert not page.evaluate(HIT)
    assert f"plant={number}" in page.url


def _at(page: Page, server: Server, path: str, plant: int) -> None:
    page.goto(f"{server.url}{path}{'&' if '?' in path else '?'}plant={plant}")
    _shown_as_typed(page, plant)


def test_markup_in_names_is_shown_as_typed_and_does_nothing(server: Server, page: Page) -> None:
    page.goto(server.url)
    settle(page)
    hand_in(page, file_of(hostile_plant()))
    expect(message(page)).to_contain_text(f"{NAME} is stored")
    plant = int(number(page.url.rpartition("plant=")[2]))
    _shown_as_typed(page, plant)
    drawn(page)
    figure = page.get_by_role("figure", name=re.compile("^SIF-1"))
    expect(figure.get_by_text(MARKUP["image"])).to_be_visible()

    _at(page, server, "/common-cause?group=pt-1&q=SEP1", plant)
    expect(page.get_by_role("combobox", name="Group", exact=True)).to_have_value(re.compile(re.escape(MARKUP["link"])))
    expect(page.get_by_text(f"by {MARKUP['colour']}")).to_be_visible()
    expect(page.get_by_role("textbox", name="Evidence seen")).to_have_value(MARKUP["image"])
    expect(rail(page).get_by_text(MARKUP["image"])).to_be_visible()
    _at(page, server, "/common-cause?group=xv-1", plant)
    expect(page.get_by_text(" ".join(MARKUP.values())).last).to_be_visible()

    _at(page, server, "/cyber?zone=Z-1&q=Z01", plant)
    expect(page.get_by_role("combobox", name="Zone", exact=True)).to_have_value(re.compile(re.escape(MARKUP["image"])))
    _at(page, server, "/redundancy?function=SIF-1", plant)
    drawn(page)
    expect(page.get_by_role("figure").get_by_text(MARKUP["link"]).first).to_be_visible()

    _at(page, server, "/zones?zone=Z-1", plant)
    drawn(page)
    on_lines = re.compile(r"\s*".join(map(re.escape, MARKUP["colour"].split())))
    expect(page.get_by_role("figure").get_by_text(on_lines)).to_be_visible()
    expect(table(page, "All conduits").get_by_text(MARKUP["link"], exact=True)).to_be_attached()
