"""Steps and readings of a person on the screens."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.server import Server
from tests.browser.watch import watch_of

OpenPage = Callable[..., Page]
"""Opens a page as another person; takes the options of a browser context."""
SCREENS = {
    "Plant": "/",
    "Set up": "/set-up?sheet=Devices",
    "Bring a list": "/bring",
    "Common-cause session": "/common-cause?group=pt-301&q=SEP1",
    "Cyber session": "/cyber?zone=Z5&q=F01",
    "Prepare": "/prepare?sheets=group&group=pt-301",
    "Redundancy left": "/redundancy?function=SIF-301",
    "What if": "/what-if?function=SIF-401",
    "Zones and gaps": "/zones?zone=Z5",
    "Reach of a compromise": "/reach?foothold=Z3",
    "What to fix first": "/fix?fix=function:SIF-301&case=adjusted",
    "Due and open": "/due",
    "Re-assessment": "/again?system=S30",
    "What changed": "/changed?system=S30&from=2&to=3",
    "Sign-off": "/sign-off?system=S50",
}
"""Each screen at a place in the demo plant."""
WITHOUT_CHART = ("Set up", "Bring a list", "Prepare", "What to fix first", "Due and open", "Sign-off")
RAIL = ("Common-cause session", "Cyber session")
"""Screens with a rail drawn as HTML, and no other chart."""
FOOT = "What these numbers mean, and what they do not"
UPLOAD = ".st-key-plant_upload input[type=file]"
SECTION_LINKS = ".st-key-sections [data-testid=stPageLink-NavLink]:not(.st-key-screens *)"
SCREENS_LINKS = ".st-key-screens [data-testid=stPageLink-NavLink]"
SECTION_OF = {
    "Set up": "Plant",
    "Bring a list": "Plant",
    "Common-cause session": "Answer",
    "Cyber session": "Answer",
    "Redundancy left": "Results",
    "What if": "Results",
    "Zones and gaps": "Results",
    "Reach of a compromise": "Results",
    "What to fix first": "Results",
    "What changed": "Results",
    "Due and open": "Review",
    "Re-assessment": "Review",
    "Sign-off": "Review",
}
STALE = "[data-stale=true]"
FRESH = "[data-testid=stElementContainer][data-stale=false]"
FOLDED = "[data-testid=stExpander] details:not([open]) > summary"
FOLDS = 10
"""More rounds of opening expanders than any screen needs."""
MOVES_NOT = """() => !document.getAnimations().some(
  (one) => one.playState === "running" && one.effect.getComputedTiming().endTime !== Infinity)"""


def visit(page: Page, server: Server, path: str) -> None:
    """Open an address of the application and wait until it is fully drawn."""
    page.goto(server.url + path)
    settle(page)


def settle(page: Page) -> None:
    """Wait until the screen is drawn: its last line is shown, no run is in progress, nothing of the last run remains."""
    expect(page.get_by_text(FOOT)).to_have_count(1)  # two while the last line of a longer screen remains
    expect(page.get_by_text(FOOT)).to_be_visible()
    expect(page.get_by_test_id("stApp")).to_have_attribute("data-test-script-state", "notRunning")
    expect(page.locator(STALE)).to_have_count(0)


def still(page: Page) -> None:
    """Wait until all transitions have ended, so that colours are final."""
    settle(page)
    page.wait_for_function(MOVES_NOT)


def unfold(page: Page) -> None:
    """Open all expanders; again, while one that redraws the screen closed others or brought new ones."""
    settle(page)
    for _ in range(FOLDS):
        if not page.locator(FOLDED).count():
            return
        page.locator(FOLDED).evaluate_all("folded => folded.forEach(one => one.click())")
        settle(page)
    raise AssertionError(f"after {FOLDS} rounds of opening folds one is still closed")


def go(page: Page, screen: str) -> None:
    """Go to a screen by the navigation: its section, then its own link, unless that is shown already."""
    own = page.locator(SCREENS_LINKS if screen != "Plant" else SECTION_LINKS).get_by_text(screen, exact=True)
    if not own.count():
        page.locator(SECTION_LINKS).get_by_text(SECTION_OF[screen], exact=True).click()
        expect(own).to_be_visible()
        settle(page)
    own.click()


def is_at(page: Page, screen: str) -> None:
    """Wait until a screen is shown: the title of the page names it."""
    expect(page).to_have_title(re.compile(rf"(^|· ){re.escape(screen)} · "))


def choose(page: Page, label: str, option: str) -> None:
    """Choose in a list: type the first word of the option, then pick it."""
    box = page.get_by_role("combobox", name=label, exact=True)
    box.click()
    box.fill(option)
    page.get_by_role("option", name=re.compile(rf"^{re.escape(option)}\b")).first.click()


def place(page: Page) -> Locator:
    """The line that names the shown question."""
    return page.get_by_text(re.compile(r"· \S+ · question \d+ of \d+$"))


def step(page: Page, name: str) -> Locator:
    """A button that leads to another question of the session."""
    return page.locator(".st-key-steps").get_by_role("button", name=re.compile(f"^{name}"))


def answer(page: Page, name: str) -> Locator:
    """One of the six answers to the shown question; waits until elements of the last run are gone."""
    settle(page)
    drawn = page.locator(FRESH).get_by_role("radiogroup", name="Answer")
    return drawn.get_by_role("radio", name=name, exact=True)


def evidence(page: Page) -> Locator:
    """The box for the evidence seen."""
    return page.get_by_role("textbox", name="Evidence seen")


def message(page: Page) -> Locator:
    """The message at the top of the screen."""
    return page.get_by_test_id("stAlert")


def stored(page: Page) -> Locator:
    """The line that says when and by whom the shown answer was stored."""
    return page.get_by_text(re.compile(r"^Stored at \d\d:\d\d:\d\d ")).first


def cells(page: Page, row: str) -> list[str]:
    """Texts of a table row that begins with this text."""
    row_shown = page.get_by_role("row", name=re.compile(rf"^{re.escape(row)} "))
    return row_shown.get_by_role("cell").all_inner_texts()


def number(text: str) -> float:
    """A number as the screens write it."""
    match = re.search(r"-?[\d,]*\.?\d+", text)
    assert match, f"no number in {text!r}"
    return float(match.group().replace(",", ""))


def restart(page: Page, server: Server) -> None:
    """Kill the server and start it again while a page is open; the page connects again by itself."""
    with watch_of(page).server_away():
        server.kill()
        expect(page.get_by_text("Connecting")).to_be_visible()
        server.start()
        expect(page.get_by_text("Connecting")).to_be_hidden()


def who(page: Page, name: str) -> None:
    """Enter a name in this browser."""
    page.locator(".st-key-person").get_by_role("button").first.click()
    box = page.get_by_role("textbox", name="Your name or role")
    box.fill(name)
    box.press("Enter")
    expect(page.get_by_role("button", name=name)).to_be_visible()
    page.keyboard.press("Escape")


def acts_as(page: Page, name: str, *roles: str) -> None:
    """Enter a name in this browser and add these roles."""
    page.locator(".st-key-person").get_by_role("button").first.click()
    box = page.get_by_role("textbox", name="Your name or role")
    box.fill(name)
    box.press("Enter")
    expect(page.get_by_role("button", name=name)).to_be_visible()
    for role in roles:
        chosen = page.get_by_role("combobox", name="Your roles")
        chosen.click()
        chosen.fill(role)
        page.get_by_role("option", name=role, exact=True).click()
        settle(page)
    page.keyboard.press("Escape")


def hand_in(page: Page, file: Any) -> None:
    """Upload a plant file and import it."""
    page.locator(UPLOAD).set_input_files(file)
    page.get_by_role("button", name="Import", exact=True).click()


def rail(page: Page) -> Locator:
    """The rail of a session that moves with the answers."""
    return page.get_by_role("img", name=re.compile(r"^\S+: (RRF|PFH) .* target "))


def drawn(page: Page, screen: str = "") -> None:
    """Wait until each figure has its drawing. Some screens have tables only."""
    figures = page.get_by_role("figure")
    if screen in RAIL:
        expect(rail(page)).to_be_visible()
    elif screen not in WITHOUT_CHART:
        expect(figures.first).to_be_visible()
    settle(page)
    for figure in figures.all():
        expect(figure.locator(".main-svg .cartesianlayer").first).to_be_attached()


def table(page: Page, name: str) -> Locator:
    """Cells of a table; those of a grid, which is painted on a canvas, lie under it for screen readers."""
    return page.get_by_role("region", name=name).locator("td, th")


def rgb(colour: str) -> str:
    """A colour of the palette as the browser writes it."""
    return "rgb({}, {}, {})".format(*(int(colour[at : at + 2], 16) for at in (1, 3, 5)))
