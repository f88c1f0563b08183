"""Times of records: verify a long journal, open five years of history, print a report."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from io import BytesIO
from itertools import cycle, islice
from pathlib import Path
from tempfile import TemporaryDirectory

from pypdf import PdfReader

from checks.access import roles
from checks.access.roles import Person
from checks.journal.append import Entry, append
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Plant
from checks.record_files import exports, record_file
from checks.recording import answer_records
from checks.signoff import revisions
from checks.state.live import Live
from checks.state.revision_status import ANSWERING, VOID
from demo import load
from pages.reports import safety_report
from tests.bench.figures import Line, once
from tests.checks.journal.stored import import_plant, latest, save
from tests.pages.reports.recorded import record_of_many_answers

EVENTS = 100_000
PAGE = 5_000
YEARS = 5
REPORTED = "S30"
PIECES = 5
"""Pieces of evidence for each answer, which makes the report about forty pages long."""
MANY = 10_000
"""Answers of a long report."""
LEADS = Person("bench", frozenset({roles.FACILITATOR, roles.MEMBER}))


def verify(plant: Plant, url: str) -> list[Line]:
    """Verify and open a journal of 100,000 events."""
    store = Store(url)
    key = import_plant(store, plant.model_copy(update={"answers": []}), by="bench", writer="bench")
    answers = cycle(plant.answers)
    last: dict[str, int] = {}
    left = EVENTS - 1
    while left:
        with store.engine.connect().execution_options(writes=True) as connection, connection.begin():
            entries = [
                _entry(answer, last, EVENTS - left + 1 + at)
                for at, answer in enumerate(islice(answers, min(PAGE, left)))
            ]
            append(connection, key, entries)
            left -= len(entries)
    (count, _), took = once(lambda: store.verify(key))
    _, opened = once(lambda: Live(store, key).state())
    store.engine.dispose()
    return [
        Line(f"journal of {count:,} events: verify", [took]),
        Line(f"journal of {count:,} events: open the plant", [opened]),
    ]


def _entry(answer: Answer, last: dict[str, int], seq: int) -> Entry:
    slot = f"answer {answer.of} {answer.question}"
    entry = Entry("answer", answer.model_dump(), by="bench", slot=slot, follows=last.get(slot, 0))
    last[slot] = seq
    return entry


def history(plant: Plant, url: str) -> list[Line]:
    """Open a plant with five years of revisions, one per quarter for each system."""
    store = Store(url)
    key = import_plant(store, plant, by="bench", writer="bench")
    at = datetime(2021, 3, 4, 9, tzinfo=UTC)
    live = Live(store, key, clock=lambda: at)
    fixed = 0
    for quarter in range(YEARS * 4):
        at += timedelta(days=91)
        question = Answer(question="SEP1", of="group:pt-301", value=("met", "not-met")[quarter % 2])
        before = latest(store, key, question.question, question.of)
        save(store, key, question, seen=before.id if before else 0, writer="bench")
        for system in live.state().plant.systems:
            if revisions.system_standing(live.state(), system).state in (ANSWERING, VOID):
                revisions.submit(live, LEADS, system)
                fixed += 1
    fresh, took = once(lambda: Live(store, key).state())
    store.engine.dispose()
    return [Line(f"demo plant, {YEARS} years, {fixed} revisions, {fresh.version.last} events: open", [took])]


def report(url: str) -> list[Line]:
    """Print the safety report of a demo system with several pieces of evidence for each answer."""
    store = Store(url)
    live = Live(store, load.into(store))
    state = live.state()
    asked = [key for key in state.stored if key[1].removeprefix("group:") in _groups(state.plant)]
    for at, key in enumerate(asked * PIECES):
        shown = {"kind": "record", "identifier": f"TR-{at}", "dated": "2026-01-15", "shows": "as found", "strength": 4}
        answer_records.add_evidence(live, LEADS, key, shown)
    revisions.submit(live, LEADS, REPORTED)
    record = record_file.from_text("record", exports.export(live, LEADS, live.state().records.revisions[REPORTED][-1]))
    printed, took = once(lambda: safety_report.report(record, day=live.state().day))
    store.engine.dispose()
    pages = len(PdfReader(BytesIO(printed)).pages)
    with TemporaryDirectory() as folder:
        many = record_of_many_answers(Path(folder), MANY)
    _, longer = once(lambda: safety_report.report(many, day=live.state().day))
    return [
        Line(f"safety report of {pages} pages: print", [took]),
        Line(f"safety report of {MANY:,} answers: print", [longer], aim=60.0),
    ]


def _groups(plant: Plant) -> set[str]:
    return {group for name in plant.systems[REPORTED].functions for group in plant.functions[name].groups}
