"""A session with the keyboard alone."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.screens import FOOT, answer, evidence, message, place, settle, step, stored, visit
from tests.browser.seats import NAMED
from tests.browser.server import Server
from tests.browser.wire import Together, with_news_behind

START = "/common-cause?group=esv-301&q=SEP1"
SETTLED = 500.0
"""Time after which the screen no longer changes [ms], for tests that expect no change."""
LOOKED = 4000.0
"""Time within which the browser polls for news at least once [ms]."""
ARROWS = {"→": "ArrowRight", "←": "ArrowLeft", "↓": "ArrowDown", "↑": "ArrowUp", "Ctrl": "Control"}
TYPED = "No drawing, nor DP panel number; and then Pending"
PRESSES = 12
ROUNDS = 8
"""Questions answered in one go with the press for the next question."""
NEXT_FRAME = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
FAR = 60
"""Most presses of the Tab key to reach an element."""


def _tab_to(page: Page, name: str) -> None:
    for _ in range(FAR):
        page.keyboard.press("Tab")
        if answer(page, name).evaluate("box => box === document.activeElement"):
            return
    raise AssertionError(f"{FAR} presses of Tab do not reach {name}")


def _shortcut(page: Page, button: str) -> str:
    """The shortcut that a button shows, as a browser names its keys."""
    shown = step(page, button).locator("kbd").inner_text()
    keys = [ARROWS.get(key, key) for key in re.split(r"\s*\+\s*", shown)]
    return "+".join(key.lower() if len(key) == 1 else key for key in keys)


def test_shortcuts_move_between_questions(server: Server, page: Page) -> None:
    visit(page, server, START)
    expect(place(page)).to_contain_text("SEP1 · question 1 of")
    for button, question in (("Next", 2), ("Next", 3), ("Previous", 2)):
        page.keyboard.press(_shortcut(page, button))
        expect(place(page)).to_contain_text(f"question {question} of")
    page.keyboard.press(_shortcut(page, "Most decisive next"))
    expect(message(page)).to_be_visible()
    expect(place(page)).not_to_contain_text("question 2 of")


def test_an_answer_is_given_with_the_keyboard_and_the_focus_stays_on_it(server: Server, page: Page) -> None:
    visit(page, server, START)
    _tab_to(page, "Met")
    page.keyboard.press("ArrowRight")
    expect(answer(page, "Partly")).to_be_focused()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")
    expect(answer(page, "Not met")).to_be_checked()
    expect(stored(page)).to_contain_text(f"by {NAMED}")
    expect(answer(page, "Not met")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    expect(answer(page, "Partly")).to_be_checked()
    expect(answer(page, "Partly")).to_be_focused()
    history = server.wait_for_answer("SEP1", "group:esv-301", "partly")
    assert [entry.answer.value for entry in history][-2:] == ["not-met", "partly"]


def test_answer_and_next_by_keyboard_stay_with_their_questions(server: Server, page: Page) -> None:
    visit(page, server, "/cyber?zone=Z5&q=L01")
    for question, value in (("L01", "Partly"), ("L02", "Not met"), ("L03", "Partly")):
        expect(place(page)).to_contain_text(question)
        answer(page, value).focus()
        page.keyboard.press("Space")
        expect(answer(page, value)).to_be_checked()
        expect(stored(page)).to_contain_text(f"by {NAMED}")
        page.keyboard.press(_shortcut(page, "Next"))
    expect(place(page)).to_contain_text("L04")
    for question, value in (("L01", "partly"), ("L02", "not-met"), ("L03", "partly")):
        server.wait_for_answer(question, "zone:Z5", value)


def test_an_answer_is_stored_however_soon_the_next_press_follows(server: Server, page: Page) -> None:
    """A press that reaches the server during the previous run ends that run: the answer must not be lost."""
    both = Together(page)
    answers = {}
    visit(page, server, "/cyber?zone=Z7&q=L01")
    for _ in range(ROUNDS):
        settle(page)
        question = place(page).inner_text().split(" · ")[1]
        name, answers[question] = (
            ("Not met", "not-met") if answer(page, "Partly").is_checked() else ("Partly", "partly")
        )
        following = _shortcut(page, "Next")
        both.hold()
        answer(page, name).click()
        both.wait_for_said(1)
        page.evaluate(NEXT_FRAME)  # the browser drops a key that is pressed within the frame of a click
        page.keyboard.press(following)
        both.wait_for_said(2)
        both.release()
        expect(place(page)).not_to_contain_text(f" {question} ")
    for question, value in answers.items():
        server.wait_for_answer(question, "zone:Z7", value)


def test_the_screen_stays_whole_when_the_browser_looks_for_news_right_behind_a_press(
    server: Server, page: Page
) -> None:
    """The polling run may overtake the previous run: it must not use the place of another element."""
    ready = with_news_behind(page)
    visit(page, server, START)
    page.wait_for_timeout(LOOKED)
    assert ready(), "the browser has not looked for news yet"
    for turn in range(PRESSES):
        before = place(page).inner_text()
        page.keyboard.press(_shortcut(page, "Previous" if turn % 2 else "Next"))
        expect(place(page)).not_to_have_text(before)
        page.wait_for_timeout(SETTLED)
        settle(page)
        expect(page.get_by_text(FOOT)).to_have_count(1)


def test_what_is_typed_as_evidence_is_never_taken_for_a_shortcut(server: Server, page: Page) -> None:
    visit(page, server, "/cyber?zone=Z5&q=S01")
    evidence(page).fill("")
    evidence(page).press_sequentially(TYPED)
    page.wait_for_timeout(SETTLED)
    expect(place(page)).to_contain_text("S01")
    expect(evidence(page)).to_have_value(TYPED)
    page.keyboard.press("Tab")
    expect(stored(page)).to_contain_text(f"by {NAMED}")
    assert server.history("S01", "zone:Z5")[-1].answer.evidence == TYPED
