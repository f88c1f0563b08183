"""Twenty people answering at once: below the screens, and in twenty browsers; none lost, counted in the journal."""

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
from tests.bench.app import running
from tests.bench.figures import Line, time
from tests.checks.journal.stored import answers_after, import_plant, latest

PEOPLE = 20
LONG = 10.0
BROWSED = 20.0
QUESTIONS = ("SEP1", "SEP4", "DIV3", "DIV8", "CMP1")


def writers(where: str, plant: Plant, url: str) -> list[Line]:
    """Twenty threads, each with its own view of the plant, each answering questions that are its own."""
    store = Store(url)
    key = import_plant(store, plant, by="bench", writer="bench")
    before = store.version(key).last
    took: list[float] = []
    threads = [Thread(target=_writer, args=(Store(url), key, number, took)) for number in range(PEOPLE)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    count, _ = store.verify(key)
    lost = before + len(took) - count
    store.engine.dispose()
    said = f"{len(took) / LONG:.0f} answers a second, {lost} lost"
    return [Line(f"{where}: {PEOPLE} at once below the screens, one answer", sorted(took), said=said)]


def _writer(store: Store, key: int, number: int, took: list[float]) -> None:
    live, person = Live(store, key), Person(f"TM-{number}", frozenset({MEMBER}), writer=f"w{number}")
    groups = list(live.state().plant.groups)
    own = islice(
        cycle((question, f"group:{group}") for group in groups for question in QUESTIONS), number, None, PEOPLE
    )
    begun = perf_counter()
    for turn, (question, of) in enumerate(own):
        if perf_counter() - begun > LONG:
            break
        held = latest(live.store, key, question, of)
        fields = {"question": question, "of": of, "value": ("met", "not-met")[turn % 2]}
        asked = perf_counter()
        answering.record(live, person, fields, seen=held.id if held else 0)
        took.append(perf_counter() - asked)
    store.engine.dispose()


def browsers(where: str, held: Browser, url: str, addresses: Sequence[str]) -> list[Line]:
    """Twenty browsers, each at a question of its own, clicking one after the other as fast as each gets its answer."""
    store = Store(url)
    key = next(iter(store.plants()))
    with running(url) as app:
        contexts = [held.new_context(bypass_csp=True) for _ in addresses]
        pages = [one.new_page() for one in contexts]
        for page, address in zip(pages, addresses, strict=True):
            page.set_default_timeout(60_000)
            page.goto(app.address + address)
            page.get_by_role("radiogroup", name="Answer").wait_for()
        held_before = len(answers_after(store, key, 0))
        took, begun = [], perf_counter()
        while perf_counter() - begun < BROWSED:
            asked = perf_counter()
            before = [_click(page.get_by_role("radiogroup", name="Answer")) for page in pages]
            for page, old in zip(pages, before, strict=True):
                expect(page.get_by_text("Stored at").first).not_to_have_text(old, timeout=60_000)
                took.append(perf_counter() - asked)
        spent = perf_counter() - begun
        for one in contexts:
            one.close()
        stored = len(answers_after(store, key, 0)) - held_before
    store.verify(key)
    store.engine.dispose()
    said = (
        f"{len(took) / spent:.0f} answers a second, {len(took) - stored} lost; rounds of {PEOPLE} clicks, {time(spent)}"
    )
    return [Line(f"{where}: {PEOPLE} browsers at once, click to stored", sorted(took), said=said)]


def _click(group: Locator) -> str:
    """Choose the other of two answers; gives the line that told of the one before, which changes once it is stored."""
    told = group.page.get_by_text("Stored at").first
    told.wait_for()
    before = told.inner_text()
    met = group.get_by_role("radio", name="Met", exact=True).first
    name = "Not met" if met.get_attribute("aria-checked") == "true" else "Met"
    group.get_by_role("radio", name=name, exact=True).first.click()
    return before
