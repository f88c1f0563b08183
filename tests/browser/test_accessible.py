"""What axe-core finds on the screens. Findings inside Streamlit's own widgets are listed by name; any other fails."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.screens import SCREENS, OpenPage, drawn, still, visit
from tests.browser.server import Server

GRAVE = ("serious", "critical")
PLACES = {**SCREENS, "a group without beta": "/common-cause?group=xv-401"}


@dataclass(frozen=True, slots=True)
class Known:
    """A finding that is not ours: rule, part of the element's own HTML, colour scheme, and why it stands."""

    rule: str
    html: str
    scheme: str
    reason: str


KNOWN: tuple[Known, ...] = ()
"""Nothing at present: Streamlit 1.67 has no grave finding on these screens."""


def _open_all(page: Page) -> None:
    """Open what is folded, and make the window as high as the screen: axe judges only what it can see."""
    for one in page.get_by_test_id("stExpander").locator("summary").all():
        one.click()
    size = page.viewport_size or {"width": 1280, "height": 800}
    height = page.get_by_test_id("stMain").evaluate("main => main.scrollHeight")
    page.set_viewport_size({"width": size["width"], "height": height + 100})
    still(page)


def _findings(page: Page) -> list[tuple[str, str, str]]:
    """Rule, HTML and explanation of each grave finding."""
    found = Axe().run(page).response["violations"]
    grave = [rule for rule in found if rule["impact"] in GRAVE]
    return [(rule["id"], node["html"], node["failureSummary"]) for rule in grave for node in rule["nodes"]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_grave_in_our_own_content(server: Server, open_page: OpenPage, scheme: str) -> None:
    known = [one for one in KNOWN if one.scheme == scheme]
    seen: set[Known] = set()
    new: dict[str, str] = {}
    for place, path in PLACES.items():
        page = open_page(color_scheme=scheme)
        visit(page, server, path)
        if "xv-401" not in path:
            drawn(page, place)
        _open_all(page)
        for rule, html, why in _findings(page):
            listed = [one for one in known if one.rule == rule and one.html in html]
            seen.update(listed)
            if not listed:
                new[f"{rule}: {html[:160]}"] = f"{place}: {why}"
        page.close()
    assert not new, "\n\n".join(f"{what}\n{where}" for what, where in new.items())
    assert seen == set(known), "a listed finding is gone: take it off the list"
