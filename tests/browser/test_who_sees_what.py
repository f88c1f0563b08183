"""What a role may not see is neither on its screens nor in any data that the server sends to its browser.

After the table of permissions in ``checks.access.roles`` (house rule).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from checks.access import roles
from checks.access.roles import Person
from checks.journal.store import Store
from checks.questions.bank import banks
from checks.recording import answer_records, answering
from checks.signoff import revisions
from checks.state.live import Live
from demo import load
from tests.browser.provider import Login, Provider
from tests.browser.screens import OpenPage, settle, unfold
from tests.browser.server import Server
from tests.browser.signed import FRAN, MEI, OLE, TIA, VIC, Ears, enter, running, server_with

SYSTEM = "S30"
"""The system of the group pt-301 in the demo plant."""
AT_THE_ANSWER = "/common-cause?group=pt-301&q=SEP1"
PLACES = (
    "/?", AT_THE_ANSWER, "/cyber?zone=Z5&q=F01", "/redundancy?function=SIF-301",
    "/zones?zone=Z5", "/reach?foothold=Z3", "/due", f"/again?system={SYSTEM}",
    f"/changed?system={SYSTEM}", f"/sign-off?system={SYSTEM}",
)  # fmt: skip
EVIDENCE, NOTE, DISSENTER, WHY, SHOWS = (
    "InventedEvidence7731", "InventedNote4492", "InventedDissenter8850", "InventedReason2207",
    "invented Shows6613",
)  # fmt: skip
ASKED = ("SEP1", "group:pt-301")
OURS, OWN = "InventedForS50", ("SEP1", "group:pt-501")
"""Evidence of an answer of S50; one of the members belongs to its team."""


@pytest.fixture(scope="module")
def server(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with an answer with evidence and a note, a dissent, and a revision under review."""
    server = server_with(provider, tmp_path_factory.mktemp("sees"))
    _record(server)
    with running(server):
        yield server
    assert not server.complaints(), server.said()


def _record(server: Server) -> None:
    store = Store(server.database)
    load.into(store)
    live = Live(store, 1)
    team = Person("Somebody of the team", frozenset({roles.FACILITATOR, roles.MEMBER}))
    for (question, of), shown, note in ((ASKED, EVIDENCE, NOTE), (OWN, OURS, "")):
        answer = live.state().stored.get((question, of))
        fields = {"question": question, "of": of, "value": "partly", "evidence": shown, "note": note}
        answering.record(live, team, fields, seen=answer.id if answer else 0)
    shown = {"kind": "document", "identifier": "D-1", "shows": SHOWS, "strength": 3}
    answer_records.add_evidence(live, team, ASKED, shown)
    fields = {"value": "not-met", "who": DISSENTER, "role": "operator", "reason": WHY, "settles": "a drawing"}
    answer_records.record_dissent(live, team, ASKED, fields)
    revisions.submit(live, team, SYSTEM)
    store.engine.dispose()


def _gaps(server: Server) -> list[str]:
    """The proposed action for each gap of the plant, as the gap list prints it."""
    store = Store(server.database)
    try:
        assessment = Live(store, 1).state().assessment
        return [gap.action for zone in assessment.plant.zones for gap in assessment.zone(zone).gaps if gap.action]
    finally:
        store.engine.dispose()


def _look_everywhere(
    page: Page, server: Server, provider: Provider, login: Login, folder: Path, places: Sequence[str] = PLACES
) -> bytes:
    """All data sent to one person's browser on these screens, with all expanders open and all files downloaded."""
    ears = Ears(page, server)
    enter(page, server, provider, login)
    settle(page)
    files = []
    for at, path in enumerate(places):
        page.goto(server.url + path)
        settle(page)
        unfold(page)
        for reader in page.get_by_role("textbox", name=re.compile("^Recipient of the security annex")).all():
            reader.fill("The works council")  # otherwise the annex is not offered
            reader.press("Enter")
            expect(page.get_by_role("button", name="Security annex (PDF)")).to_be_enabled()
            settle(page)
        for button in page.get_by_test_id("stDownloadButton").get_by_role("button").all():
            settle(page)
            with page.expect_download() as handed:
                button.click()
            kept = folder / f"{login.subject}-{at}"
            handed.value.save_as(kept)
            files.append(kept.read_bytes())
    return (ears.everything() + b"\n".join(files)).replace(b"\\", b"")  # Markdown writes a backslash before a sign


def test_no_detail_of_gaps_answers_evidence_or_dissent_reaches_a_viewer(
    server: Server, provider: Provider, open_page: OpenPage, tmp_path: Path
) -> None:
    """The browser of the owner receives all of it, which shows that the recording works."""
    gaps = _gaps(server)
    assert len(gaps) > 20
    owner = _look_everywhere(open_page(), server, provider, OLE, tmp_path)
    viewer = _look_everywhere(open_page(), server, provider, VIC, tmp_path)
    secrets = (EVIDENCE, NOTE, DISSENTER, WHY, SHOWS)
    assert [text for text in secrets if text.encode() not in owner] == []
    assert [text for text in secrets if text.encode() in viewer] == []
    assert any(text.encode() in owner for text in gaps)
    assert [text for text in gaps if text.encode() in viewer] == []
    texts = [question.text for question in banks().questions.values() if question.text]
    assert any(question.encode() in owner for question in texts)
    assert [question for question in texts if question.encode() in viewer] == []


def test_a_viewer_still_gets_betas_results_and_the_number_of_gaps(
    server: Server, provider: Provider, page: Page
) -> None:
    enter(page, server, provider, VIC, "/redundancy?function=SIF-301")
    settle(page)
    expect(page.get_by_role("heading", name=re.compile("^Redundancy gains SIF-301 a factor"))).to_be_visible()
    expect(page.get_by_role("region", name="Groups with share, parts and betas")).to_be_visible()


def test_the_name_of_a_dissenter_reaches_no_other_member_on_any_screen(
    server: Server, provider: Provider, page: Page, tmp_path: Path
) -> None:
    heard = _look_everywhere(page, server, provider, MEI, tmp_path)
    assert WHY.encode() in heard
    assert DISSENTER.encode() not in heard


def test_the_name_of_a_dissenter_reaches_the_facilitator(
    server: Server, provider: Provider, page: Page, tmp_path: Path
) -> None:
    heard = _look_everywhere(page, server, provider, FRAN, tmp_path, [AT_THE_ANSWER])
    assert WHY.encode() in heard
    assert DISSENTER.encode() in heard


def test_nothing_of_another_system_but_its_results_reaches_a_team_member(
    server: Server, provider: Provider, page: Page, tmp_path: Path
) -> None:
    heard = _look_everywhere(page, server, provider, TIA, tmp_path)
    assert OURS.encode() in heard
    assert [text for text in (EVIDENCE, NOTE, DISSENTER, WHY, SHOWS) if text.encode() in heard] == []
    page.goto(f"{server.url}/redundancy?function=SIF-301")
    settle(page)
    expect(page.get_by_role("heading", name=re.compile("^Redundancy gains SIF-301 a factor"))).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("^Answer for (?!its zone)"))).to_have_count(0)
    page.goto(f"{server.url}/common-cause?group=pt-301")
    settle(page)
    box = page.get_by_role("combobox", name="Group")
    expect(box).not_to_have_value(re.compile("pt-301"))
    box.click()
    names = [option.split()[0] for option in page.get_by_role("option").all_inner_texts()]
    assert names == ["pt-501", "ls-sis", "esv-501"]
