"""What a PostgreSQL server reported as stored is there after it, or the way to it, broke down."""

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
    """Do something once, when the next event is about to be sent; the deed gets the connection."""
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
        pytest.raises(StoreUnavailable) as told,
    ):
        save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert SENTENCE.match(str(told.value)), str(told.value)
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
    with before_an_event_is_written(store, lambda _: mortal.stop()), pytest.raises(StoreUnavailable) as told:
        save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert SENTENCE.match(str(told.value)), str(told.value)
    for ask in (store.plants, lambda: store.version(key), lambda: Store(mortal_url)):
        with pytest.raises(StoreUnavailable) as told:
            ask()
        assert SENTENCE.match(str(told.value)), str(told.value)
    mortal.start()
    assert history(store, key, "SEP1", OF) == [first]
    second = save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(store, key, "SEP1", OF) == [first, second]


def write_until(stop: Event, url: str, key: int, told: list[int]) -> None:
    """Answer one question again and again, over whatever comes between, and keep the numbers told as stored."""
    store = Store(url)
    while not stop.is_set():
        try:
            held = latest(store, key, "SEP1", OF)
            given = answer("SEP1", OF, ("met", "not-met")[len(told) % 2])
            told.append(save(store, key, given, seen=held.id if held else 0, writer="w").id)
        except StoreUnavailable:
            stop.wait(0.02)


def wait_for_more(told: list[int]) -> None:
    """Wait until ten more are told as stored."""
    before, late = len(told), monotonic() + SECONDS
    while len(told) < before + 10:
        assert monotonic() < late, "nothing more is stored"
        sleep(0.001)


def test_a_server_that_crashes_again_and_again_loses_no_number_that_was_told(mortal_url: str, mortal: Server) -> None:
    store = Store(mortal_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    database, told, stop = mortal_url.rpartition("/")[2], list[int](), Event()
    with ThreadPoolExecutor(1) as threads:
        writing = threads.submit(write_until, stop, mortal_url, key, told)
        try:
            for crash in range(CRASHES):
                wait_for_more(told)
                (mortal.kill, mortal.stop, lambda: mortal.kill_one_that_serves(database))[crash % 3]()
                mortal.start()
            wait_for_more(told)
        finally:
            stop.set()
        writing.result(SECONDS)
    again = Store(mortal_url)
    held = [one.id for one in history(again, key, "SEP1", OF)]
    assert len(told) >= 10 * CRASHES
    assert set(told) <= set(held)
    assert len(held) - len(told) <= CRASHES, "with each crash one may have been stored that nobody was told of"
    assert again.verify(key)[0] == held[-1] == len(held) + 1
    assert store.verify(key) == again.verify(key), "a store that was open all the time finds the server again"
