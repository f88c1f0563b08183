"""What a PostgreSQL server reported as stored is there after a failure of the server or the connection."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event
from time import monotonic, sleep
from typing import Any

import pytest
from psycopg import sql
from sqlalchemy import event

from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from tests.checks.given import answer, bare_plant
from tests.checks.journal.stored import history, import_plant, latest, save, say
from tests.postgres import Server

OF = "group:pt-301"
SENTENCE = re.compile(
    r"^the database does not answer \(.+\)\. Nothing stored was lost; check that its server runs, .+\.$"
)
CRASHES = 6
SECONDS = 60


@contextmanager
def before_an_event_is_written(store: Store, deed: Callable[[Any], object]) -> Iterator[None]:
    """Call a function once, just before the next event is sent; it gets the connection."""
    left = [deed]

    def _now(connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("INSERT INTO event") and left:
            left.pop()(connection)

    event.listen(store.engine, "before_cursor_execute", _now)
    yield
    event.remove(store.engine, "before_cursor_execute", _now)
    assert not left, "nothing was written"


def end_its_connection(server: Server, connection: Any) -> None:
    pid = connection.connection.dbapi_connection.info.backend_pid
    server.tell(sql.SQL("SELECT pg_terminate_backend({}, 5000)").format(pid))


def test_an_answer_whose_connection_is_ended_in_the_middle_is_told_and_taken_the_next_time(
    postgresql_url: str, server: Server
) -> None:
    store = Store(postgresql_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    first = say(store, key, "SEP1", OF)
    with (
        before_an_event_is_written(store, lambda connection: end_its_connection(server, connection)),
        pytest.raises(StoreUnavailable) as refusal,
    ):
        save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert SENTENCE.match(str(refusal.value)), str(refusal.value)
    assert history(store, key, "SEP1", OF) == [first]
    second = save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(store, key, "SEP1", OF) == [first, second]
    assert store.verify(key)[0] == second.id


def test_a_server_that_stops_in_the_middle_of_an_answer_is_told_and_takes_it_when_it_runs_again(
    mortal_url: str, mortal: Server
) -> None:
    store = Store(mortal_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    first = say(store, key, "SEP1", OF)
    with before_an_event_is_written(store, lambda _: mortal.stop()), pytest.raises(StoreUnavailable) as refusal:
        save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert SENTENCE.match(str(refusal.value)), str(refusal.value)
    for ask in (store.plants, lambda: store.version(key), lambda: Store(mortal_url)):
        with pytest.raises(StoreUnavailable) as refusal:
            ask()
        assert SENTENCE.match(str(refusal.value)), str(refusal.value)
    mortal.start()
    assert history(store, key, "SEP1", OF) == [first]
    second = save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(store, key, "SEP1", OF) == [first, second]


def write_until(stop: Event, url: str, key: int, acknowledged: list[int]) -> None:
    """Answer one question again and again, despite failures, and collect the acknowledged numbers."""
    store = Store(url)
    while not stop.is_set():
        try:
            last = latest(store, key, "SEP1", OF)
            next_answer = answer("SEP1", OF, ("met", "not-met")[len(acknowledged) % 2])
            acknowledged.append(save(store, key, next_answer, seen=last.id if last else 0, writer="w").id)
        except StoreUnavailable:
            stop.wait(0.02)


def wait_for_more(acknowledged: list[int]) -> None:
    """Wait until ten more are acknowledged."""
    before, late = len(acknowledged), monotonic() + SECONDS
    while len(acknowledged) < before + 10:
        assert monotonic() < late, "nothing more is stored"
        sleep(0.001)


def test_a_server_that_crashes_again_and_again_loses_no_number_that_was_told(mortal_url: str, mortal: Server) -> None:
    store = Store(mortal_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    database, acknowledged, stop = mortal_url.rpartition("/")[2], list[int](), Event()
    with ThreadPoolExecutor(1) as threads:
        writing = threads.submit(write_until, stop, mortal_url, key, acknowledged)
        try:
            for crash in range(CRASHES):
                wait_for_more(acknowledged)
                (mortal.kill, mortal.stop, lambda: mortal.kill_one_that_serves(database))[crash % 3]()
                mortal.start()
            wait_for_more(acknowledged)
        finally:
            stop.set()
        writing.result(SECONDS)
    again = Store(mortal_url)
    stored = [entry.id for entry in history(again, key, "SEP1", OF)]
    assert len(acknowledged) >= 10 * CRASHES
    assert set(acknowledged) <= set(stored)
    assert len(stored) - len(acknowledged) <= CRASHES, (
        "with each crash one may have been stored that nobody was told of"
    )
    assert again.verify(key)[0] == stored[-1] == len(stored) + 1
    assert store.verify(key) == again.verify(key), "a store that was open all the time finds the server again"
