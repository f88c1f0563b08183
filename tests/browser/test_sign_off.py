"""A reviewer signs, the record verifies offline, and an answer or a change invalidates the sign-off."""

from __future__ import annotations

import json
from pathlib import Path

from playwright.sync_api import Page, expect

from checks.reassessment.kinds_of_change import kinds
from checks.record_files import verification
from demo.replay import KEYS, PASSPHRASE
from tests.browser.screens import OpenPage, acts_as, answer, settle, stored, visit
from tests.browser.seats import NAMED
from tests.browser.server import Server

REVIEWER = "security reviewer SR-2"


def judge(page: Page) -> None:
    """Open each sampled answer, give a verdict with a remark, and accept what was never answered."""
    opened = page.get_by_text("What the team answered")
    for number in range(opened.count()):
        opened.nth(number).click()
        page.get_by_role("radio", name="the evidence shows it", exact=True).nth(number).click()
        settle(page)
        page.get_by_role("textbox", name="Your remark").nth(number).fill("read on site")
        page.keyboard.press("Tab")
        settle(page)
    accept = page.get_by_text("were never answered. I accept the revision with them.")
    if accept.count():
        accept.click()
        settle(page)


def state_and_sign(page: Page, phrase: str) -> None:
    """Fill in the terms, see the statement, and sign it."""
    page.get_by_role("textbox", name="Independence").fill("I had no part in the answers.")
    page.get_by_role("textbox", name="Competence").fill("Ten years with networks of plants.")
    page.keyboard.press("Tab")
    settle(page)
    statement = page.locator(".st-key-statement_security")
    expect(statement).to_contain_text("Independence: I had no part in the answers.")
    expect(statement).to_contain_text("Competence: Ten years with networks of plants.")
    page.locator(".st-key-sign_security_file input[type=file]").set_input_files(KEYS / "security-reviewer.pem")
    page.get_by_role("textbox", name="Passphrase of the key").fill(phrase)
    page.get_by_role("button", name="Sign the security half").click()


def test_a_reviewer_signs_the_record_verifies_and_an_answer_invalidates_it(
    server: Server, page: Page, open_page: OpenPage, tmp_path: Path
) -> None:
    visit(page, server, "/sign-off?system=S50")
    expect(page.get_by_role("heading", name="S50 is under review")).to_be_visible()
    acts_as(page, REVIEWER, "security reviewer")
    expect(page.get_by_role("heading", name="Review of the security half")).to_be_visible()
    expect(page.get_by_text("scoring answers, drawn at random.")).to_be_visible()
    judge(page)
    state_and_sign(page, "not the passphrase")
    expect(page.get_by_text("the passphrase does not open this file")).to_be_visible()
    state_and_sign(page, PASSPHRASE)
    expect(page.get_by_role("heading", name="S50 is signed")).to_be_visible()
    settle(page)
    page.get_by_text("Signed statement of the security half, revision 3").click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Signed bytes, security half (JSON)").click()
    handed = tmp_path / "statement.json"
    download.value.save_as(handed)
    assert json.loads(handed.read_bytes())["independence"] == "I had no part in the answers."
    with page.expect_download() as download:
        page.get_by_role("button", name="Record (JSON)").click()
    path = tmp_path / download.value.suggested_filename
    download.value.save_as(path)
    lines = "\n".join(verification.verify_file(path))
    assert f"security half: signed by {REVIEWER}" in lines
    assert "figures: fits; computed again from the facts, no difference" in lines
    with page.expect_download() as download:
        page.get_by_role("button", name="Safety report (PDF)").click()
    printed = tmp_path / download.value.suggested_filename
    download.value.save_as(printed)
    assert printed.read_bytes().startswith(b"%PDF-")

    other = open_page()
    visit(other, server, "/common-cause?group=esv-501&q=TST1")
    answer(other, "Not met").click()
    expect(stored(other)).to_contain_text(f"by {NAMED}")
    expect(page.get_by_role("heading", name="S50 is void")).to_be_visible()
    expect(page.get_by_text("TST1 of group:esv-501 was answered not-met").first).to_be_visible()


def test_a_change_states_its_consequences_and_invalidates_the_sign_offs(server: Server, page: Page) -> None:
    visit(page, server, "/again?system=S40")
    kind = page.get_by_role("combobox", name="Kind of change")
    kind.click()
    kind.fill(kinds()["wireless"].name)
    page.get_by_role("option", name=kinds()["wireless"].name, exact=True).click()
    affected = page.get_by_role("combobox", name="What it affects")
    affected.click()
    affected.fill("zone:Z5")
    page.get_by_role("option", name="zone:Z5", exact=True).click()
    page.keyboard.press("Escape")
    expect(page.get_by_role("table", name="What recording this change does, system by system")).to_contain_text(
        "invalidated: both halves"
    )
    page.get_by_role("textbox", name="What was changed").fill("a radio link")
    page.keyboard.press("Tab")
    settle(page)
    expect(page.get_by_role("button", name="Record this change")).to_be_disabled()
    page.get_by_text("Invalidate the sign-off of").click()
    settle(page)
    page.get_by_role("button", name="Record this change").click()
    expect(page.get_by_text("The change is recorded")).to_be_visible()
    visit(page, server, "/due")
    expect(page.get_by_role("heading", name="of 5 safety systems")).to_contain_text("void")
    visit(page, server, "/sign-off?system=S40")
    expect(page.get_by_role("heading", name="S40 is void")).to_be_visible()
    expect(page.get_by_text("a radio link").first).to_be_visible()
