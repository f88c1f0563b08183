"""Forms in a browser: a submitted form is stored once, confirmed at its button, and not lost to the next press."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from tests.browser.screens import message, place, settle, step, unfold, visit
from tests.browser.server import Server
from tests.browser.wire import Together

AT = "/cyber?zone=Z7&q=L02"
"""A zone and a question that no other test uses."""
ROUNDS = 4


def _fill(page: Page, identifier: str, shows: str) -> None:
    page.get_by_role("textbox", name="Document number or name").fill(identifier)
    page.get_by_role("textbox", name="What it shows, in one line").fill(shows)


def _named(server: Server) -> list[str]:
    return [event.content["identifier"] for event in server.events("evidence")]


def _press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).first.click()


def test_what_a_form_hands_in_is_stored_once_however_soon_the_next_press_follows(server: Server, page: Page) -> None:
    both = Together(page)
    visit(page, server, AT)
    unfold(page)
    names = []
    for turn in range(ROUNDS):
        settle(page)
        names.append(f"list {turn} of the cabinet")
        _fill(page, names[-1], "all keys are out")
        both.hold()
        for _ in range(2):
            _press(page, "Record this evidence")
        step(page, "Next" if turn % 2 else "Previous").click()
        both.wait_for_said(3)
        before = place(page).inner_text()
        both.release()
        expect(place(page)).not_to_have_text(before)
    settle(page)
    assert [name for name in _named(server) if name in names] == names


def _is_below(form: Locator, told: Locator) -> None:
    """The message stands right below the button, which is the last thing in its form."""
    box, below = form.bounding_box(), told.bounding_box()
    assert box is not None
    assert below is not None
    assert 0.0 <= below["y"] - (box["y"] + box["height"]) < 40.0


def test_a_stored_form_says_so_beside_its_button_and_stays_open(server: Server, page: Page) -> None:
    visit(page, server, "/cyber?zone=Z7&q=L03")
    unfold(page)
    _fill(page, "badge list 7", "")
    _press(page, "Record this evidence")
    form = page.locator("[data-testid=stForm]").filter(has_text="Record this evidence")
    expect(message(page)).to_contain_text("what it shows, in one line")
    _is_below(form, message(page))
    expect(form.get_by_role("textbox", name="Document number or name")).to_have_value("badge list 7")
    form.get_by_role("textbox", name="What it shows, in one line").fill("two names left")
    _press(page, "Record this evidence")
    expect(message(page)).to_have_count(1)
    expect(message(page)).to_have_text("Evidence recorded.")
    _is_below(form, message(page))
    expect(form.get_by_role("textbox", name="Document number or name")).to_have_value("")
    expect(page.get_by_text("badge list 7")).to_be_visible()
