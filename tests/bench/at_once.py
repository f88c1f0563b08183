"""Twenty people answering at once, without screens and in twenty browsers; lost answers are counted in the journal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import cycle, islice
from threading import Thread
from time import perf_counter

from playwright.sync_api import Browser, Locator, expect

from checks.access.roles import MEMBER, Person
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.recording import answering
from checks.state.live import Live
from tests.bench.app import introduce, running
from tests.bench.figures import Line, time
from tests.checks.journal.stored import answers_after, import_plant, latest

PEOPLE = 20
LONG = 10.0
BROWSED = 20.0
QUESTIONS = ("SEP1", "SEP4", "DIV3", "DIV8", "CMP1")


def writers(where: str, plant: Plant, url: str) -> list[Line]:
    """Twenty threads, each with its own state of the plant and its own questions."""
    store = Store(url)
    key = import_plant(store, plant, by="bench", writer="bench")
    before = store.version(key).last
    took: list[float] = []
    threads = [Thread(target=_writer, args=(Store(url), key, number, took)) for number in range(PEOPLE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    count, _ = store.verify(key)
    lost = before + len(took) - count
    store.engine.dispose()
    remark = f"{len(took) / LONG:.0f} answers a second, {lost} lost"
    return [Line(f"{where}: {PEOPLE} at once below the screens, one answer", sorted(took), said=remark)]


def _writer(store: Store, key: int, number: int, took: list[float]) -> None:
    live, person = Live(store, key), Person(f"TM-{number}", frozenset({MEMBER}), writer=f"w{number}")
    groups = list(live.state().plant.groups)
    questions = islice(
        cycle((question, f"group:{group}") for group in groups for question in QUESTIONS), number, None, PEOPLE
    )
    begun = perf_counter()
    for turn, (question, of) in enumerate(questions):
        if perf_counter() - begun > LONG:
            break
        before = latest(live.store, key, question, of)
        fields = {"question": question, "of": of, "value": ("met", "not-met")[turn % 2]}
        asked = perf_counter()
        answering.record(live, person, fields, seen=before.id if before else 0)
        took.append(perf_counter() - asked)
    store.engine.dispose()


def browsers(where: str, chromium: Browser, url: str, addresses: Sequence[str]) -> list[Line]:
    """Twenty browsers, each at its own question, clicking in rounds; a round ends when all answers are stored."""
    store = Store(url)
    key = next(iter(store.plants()))
    with running(url) as app:
        contexts = [chromium.new_context(bypass_csp=True) for _ in addresses]
        for context in contexts:
            introduce(context)
        pages = [context.new_page() for context in contexts]
        for page, address in zip(pages, addresses, strict=True):
            page.set_default_timeout(60_000)
            page.goto(app.address + address)
            page.get_by_role("radiogroup", name="Answer").wait_for()
        stored_before = len(answers_after(store, key, 0))
        took, begun = [], perf_counter()
        while perf_counter() - begun < BROWSED:
            asked = perf_counter()
            before = [_click(page.get_by_role("radiogroup", name="Answer")) for page in pages]
            for page, old in zip(pages, before, strict=True):
                expect(page.get_by_text("Stored at").first).not_to_have_text(old, timeout=60_000)
                took.append(perf_counter() - asked)
        spent = perf_counter() - begun
        for context in contexts:
            context.close()
        stored = len(answers_after(store, key, 0)) - stored_before
    store.verify(key)
    store.engine.dispose()
    remark = (
        f"{len(took) / spent:.0f} answers a second, {len(took) - stored} lost; rounds of {PEOPLE} clicks, {time(spent)}"
    )
    return [Line(f"{where}: {PEOPLE} browsers at once, click to stored", sorted(took), said=remark)]


def _click(group: Locator) -> str:
    """Choose the other of two answers; returns the present ``Stored at`` line, which changes when the answer is stored."""
    stored_line = group.page.get_by_text("Stored at").first
    stored_line.wait_for()
    before = stored_line.inner_text()
    met = group.get_by_role("radio", name="Met", exact=True).first
    name = "Not met" if met.get_attribute("aria-checked") == "true" else "Met"
    group.get_by_role("radio", name=name, exact=True).first.click()
    return before
