"""A first walk without instructions: look, answer, see the effect, and find everything again after a crash."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.screens import (
    OpenPage,
    answer,
    cells,
    choose,
    go,
    number,
    place,
    rail,
    restart,
    settle,
    step,
    stored,
    table,
    visit,
)
from tests.browser.seats import NAMED
from tests.browser.server import Server

TARGET = 300.0
"""Target RRF of SIF-501 in the demo plant."""


def _look_at_the_plant(page: Page, server: Server) -> None:
    visit(page, server, "/")
    expect(page.get_by_text("Quillmarch Works — invented data - not for use")).to_be_visible()
    expect(page.get_by_role("heading", name="What is left of the redundancy")).to_be_visible()


def _answer_for_the_fuel_gas_valves(page: Page) -> list[str]:
    go(page, "Common-cause session")
    choose(page, "Group", "esv-501")
    choose(page, "Jump to", "TST1")
    expect(place(page)).to_contain_text("TST1")
    expect(page.get_by_role("row", name=re.compile("^SIF-501 "))).to_be_visible()
    before = number(cells(page, "SIF-501")[2])
    assert before < TARGET
    answer(page, "Met").click()
    expect(answer(page, "Met")).to_be_checked()
    expect(page.get_by_text(re.compile(r"^Beta 5 %, was 10 %$"))).to_be_visible()
    expect(stored(page)).to_contain_text("for group esv-501")
    row = cells(page, "SIF-501")
    assert number(row[1]) == before
    assert number(row[2]) >= TARGET
    expect(rail(page)).to_be_visible()
    expect(rail(page)).to_have_accessible_name(re.compile("^SIF-501: RRF .* target 300: met by "))
    return row


def _answer_for_the_safety_zone(page: Page) -> tuple[list[str], str]:
    go(page, "Cyber session")
    choose(page, "Zone", "Z5")
    choose(page, "Jump to", "F01")
    expect(place(page)).to_contain_text("F01")
    gaps = page.get_by_role("paragraph").filter(has_text=re.compile(r"^\d+ gaps"))
    many = number(gaps.inner_text())
    answer(page, "Met").click()
    expect(answer(page, "Met")).to_be_checked()
    expect(gaps).to_have_text(re.compile(rf"^{many - 1:.0f} gaps \(-1 by this answer\)"))
    expect(stored(page)).to_contain_text("for zone Z5")
    row = cells(page, "esv-301")
    assert number(row[4]) < number(row[3]), "the adjusted beta of the valves falls"
    rrf = page.get_by_text(re.compile(r"^RRF of SIF-301 with common cause ")).inner_text()
    _scored, before, after = re.findall(r"\d[\d,]*", rrf.removeprefix("RRF of SIF-301"))
    assert number(after) > number(before)
    return row, rrf


def _find_the_gap(page: Page) -> None:
    go(page, "Zones and gaps")
    expect(table(page, "Gaps of Z5").filter(has_text=re.compile("^F01$"))).to_be_attached()


def _find_the_gap_gone(page: Page) -> None:
    go(page, "Zones and gaps")
    gaps = table(page, "Gaps of Z5")
    expect(gaps.filter(has_text=re.compile("^P06$"))).to_be_attached()
    expect(gaps.filter(has_text=re.compile("^F01$"))).to_have_count(0)


def _find_everything_again(page: Page, server: Server, valves: list[str], zone: tuple[list[str], str]) -> None:
    visit(page, server, "/common-cause?group=esv-501&q=TST1")
    expect(answer(page, "Met")).to_be_checked()
    expect(stored(page)).to_contain_text("for group esv-501")
    assert cells(page, "SIF-501") == valves
    visit(page, server, "/cyber?zone=Z5&q=F01")
    expect(answer(page, "Met")).to_be_checked()
    assert cells(page, "esv-301") == zone[0]
    expect(page.get_by_text(zone[1], exact=True)).to_be_visible()


def test_a_first_walk_ends_with_answers_that_outlive_a_killed_server(own_server: Server, open_page: OpenPage) -> None:
    page = open_page()
    _look_at_the_plant(page, own_server)
    _find_the_gap(page)
    valves = _answer_for_the_fuel_gas_valves(page)
    zone = _answer_for_the_safety_zone(page)
    _find_the_gap_gone(page)
    page.close()
    own_server.kill()
    own_server.start()
    later = open_page()
    _find_everything_again(later, own_server, valves, zone)
    _find_the_gap_gone(later)


def test_a_screen_left_open_while_the_server_was_killed_goes_on_by_itself(own_server: Server, page: Page) -> None:
    visit(page, own_server, "/common-cause?group=esv-501&q=TST1")
    answer(page, "Met").click()
    expect(stored(page)).to_contain_text(f"by {NAMED}")
    page.wait_for_load_state("networkidle")
    restart(page, own_server)
    settle(page)
    step(page, "Previous").click()
    expect(place(page)).not_to_contain_text("TST1")
    step(page, "Next").click()
    expect(place(page)).to_contain_text("TST1")
    expect(answer(page, "Met")).to_be_checked()
