"""Each screen on a projector in light and on a phone in dark: width, colours, findings of axe-core.

Findings inside Streamlit's own widgets are listed by name; any other fails.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from pages.presentation.palette import DARK, LIGHT, Palette
from tests.browser.screens import SCREENS, WITHOUT_CHART, OpenPage, drawn, still, unfold, visit
from tests.browser.server import Server

GRAVE = ("serious", "critical")
BARE = "A group without beta"
BEGIN, GONE = "The ways to a plant", "A group that is not there"
PLACES = {**SCREENS, BARE: "/common-cause?group=xv-401", BEGIN: "/start", GONE: "/common-cause?group=pt-110"}
NO_RAILS = ("Zones and gaps", "Reach of a compromise", "Re-assessment", BARE, BEGIN, GONE, *WITHOUT_CHART)
WIDTHS = """() => [document.scrollingElement, document.querySelector("[data-testid=stMain]")]
  .map((box) => box.scrollWidth - box.clientWidth)"""
FILLS = """() => [...document.querySelectorAll(".barlayer path, .rails .kept")].map((one) => getComputedStyle(one))
  .flatMap((look) => [look.fill, look.backgroundColor])"""
BACKGROUND = """() => getComputedStyle(document.querySelector("[data-testid=stApp]")).backgroundColor"""


@dataclass(frozen=True, slots=True)
class Reader:
    """Size of the window, colour scheme, and the colours that belong to it."""

    width: int
    height: int
    scheme: str
    palette: Palette


READERS = {"projector": Reader(1280, 800, "light", LIGHT), "phone": Reader(390, 844, "dark", DARK)}


@dataclass(frozen=True, slots=True)
class Known:
    """A finding outside the program: rule, part of the HTML of the element, colour scheme, and why it remains."""

    rule: str
    html: str
    scheme: str
    reason: str


KNOWN: tuple[Known, ...] = ()
"""Empty at present: Streamlit 1.67 has no grave finding on these screens."""


@pytest.fixture(scope="module")
def server(only_seen: Server) -> Server:
    """Nothing is stored here."""
    return only_seen


def _rgb(colour: str) -> str:
    return "rgb({}, {}, {})".format(*(int(colour[at : at + 2], 16) for at in (1, 3, 5)))


def _high(page: Page, reader: Reader) -> None:
    """Open all expanders and make the window as high as the screen: axe judges only visible elements."""
    unfold(page)
    height = page.get_by_test_id("stMain").evaluate("main => main.scrollHeight")
    page.set_viewport_size({"width": reader.width, "height": height + 100})
    still(page)


def _findings(page: Page) -> list[tuple[str, str, str]]:
    """Rule, HTML and explanation of each grave finding."""
    options = {
        "resultTypes": ["violations"],
        "preload": False,
    }  # what it loads again is for rules of sounds
    violations = Axe().run(page, options=options).response["violations"]
    grave = [rule for rule in violations if rule["impact"] in GRAVE]
    return [(rule["id"], node["html"], node["failureSummary"]) for rule in grave for node in rule["nodes"]]


@pytest.mark.parametrize("reader", READERS.values(), ids=list(READERS))
def test_each_screen_fits_its_window_has_its_colours_and_is_open_to_all(
    server: Server, open_page: OpenPage, reader: Reader
) -> None:
    size = {"width": reader.width, "height": reader.height}
    page = open_page(viewport=size, color_scheme=reader.scheme)
    known = [finding for finding in KNOWN if finding.scheme == reader.scheme]
    met: set[Known] = set()
    new: dict[str, str] = {}
    for place, path in PLACES.items():
        page.set_viewport_size(size)
        visit(page, server, path)
        if place in SCREENS:
            drawn(page, place)
        assert max(page.evaluate(WIDTHS)) <= 1, f"{path} scrolls sideways at {reader.width} pixels"
        assert page.evaluate(BACKGROUND) == _rgb(reader.palette.paper)
        if place not in NO_RAILS:
            assert _rgb(reader.palette.kept) in page.evaluate(FILLS), path
        _high(page, reader)
        for rule, html, why in _findings(page):
            listed = [finding for finding in known if finding.rule == rule and finding.html in html]
            met.update(listed)
            if not listed:
                new[f"{rule}: {html[:160]}"] = f"{place}: {why}"
    assert not new, "\n\n".join(f"{what}\n{where}" for what, where in new.items())
    assert met == set(known), "a listed finding is gone: take it off the list"
