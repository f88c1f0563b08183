"""A site's own list brought in: its columns corrected, its preview read, taken over; on a projector and on a phone in the dark."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.plants import file_of, small_plant
from tests.browser.screens import OpenPage, choose, go, hand_in, message, settle, still, visit
from tests.browser.server import Server

PHONE = {"width": 390, "height": 844}
UPLOAD = "[class*=st-key-list_upload] input[type=file]"
HEAD = "Tag;Service;DU (per million hours);Data sheet\n"
SIDEWAYS = """() => Math.max(...[document.scrollingElement, document.querySelector("[data-testid=stMain]")]
  .map((box) => box.scrollWidth - box.clientWidth))"""


def _upload(page: Page, text: str, name: str) -> None:
    settle(page)
    page.locator(UPLOAD).set_input_files({"name": name, "mimeType": "text/csv", "buffer": text.encode()})
    expect(page.get_by_role("heading", name=name)).to_be_visible()
    settle(page)


def _is_open_to_all(page: Page) -> None:
    still(page)
    assert page.evaluate(SIDEWAYS) <= 1
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    assert [rule["id"] for rule in found if rule["impact"] in ("serious", "critical")] == []


def test_a_list_of_a_site_is_corrected_previewed_and_taken_over(empty_server: Server, open_page: OpenPage) -> None:
    page = open_page()
    visit(page, empty_server, "/")
    hand_in(page, file_of(small_plant("Own Works")))
    expect(message(page)).to_contain_text("Own Works is stored")
    go(page, "Bring a list")
    _upload(page, f"{HEAD}PT;Transmitter;0,9;PT-9\nNEW;Valve;1,5;\n", "index.csv")
    choose(page, "Data sheet (not found)", "Source")
    expect(page.get_by_text("1 new, 1 changed, 0 gone")).to_be_visible()
    expect(page.get_by_role("row").filter(has_text="Source of the rates")).to_contain_text("PT-9")
    _is_open_to_all(page)
    page.get_by_role("button", name="Take over").click()
    expect(message(page)).to_contain_text("Taken over: 1 new, 1 changed, 0 gone")
    settle(page)

    phone = open_page(viewport=PHONE, color_scheme="dark")
    visit(phone, empty_server, "/bring")
    _upload(phone, f"{HEAD}PT;Transmitter;0,9;PT-9\nXV;Valve;many;\n", "index.csv")
    fault = phone.get_by_role("row").filter(has_text="many")
    expect(fault).to_contain_text("DU (per million hours)")
    expect(phone.get_by_role("button", name="Take over")).to_have_count(0)
    _is_open_to_all(phone)
