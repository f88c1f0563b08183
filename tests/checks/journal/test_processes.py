"""Several processes of the program on one database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack

import pytest

from checks.journal import schema
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from tests.checks.given import bare_plant, valid_plant
from tests.checks.journal.stored import answers_after, history, import_plant, say
from tests.checks.journal.worker import OF, Worker

PROCESSES, EACH = 4, 200
WRITERS = 8
OPENINGS = 10


@pytest.fixture(scope="module")
def workers() -> Iterator[list[Worker]]:
    """Four processes that wait for commands."""
    started = [Worker() for _ in range(PROCESSES)]
    yield started
    for worker in started:
        worker.end()


def test_of_eight_writers_in_two_processes_one_wins_and_all_others_are_told_who(
    store: Store, key: int, url: str, workers: list[Worker]
) -> None:
    names = [f"writer {number}" for number in range(WRITERS)]
    pair = workers[:2]
    for question in ("SEP1", "SEP4", "SEP5", "DIV3"):
        for worker, theirs in zip(pair, (names[::2], names[1::2]), strict=True):
            worker.tell("race", url=url, key=key, question=question, writers=theirs)
        ended = [outcome for worker in pair for outcome in worker.answer()]
        assert {outcome["writer"] for outcome in ended} == set(names)
        (winner,) = {outcome["holds"] for outcome in ended}
        assert [stored.answer.by for stored in history(store, key, question, OF)] == [winner]


def test_four_processes_that_answer_different_questions_lose_none_and_the_journal_verifies(
    store: Store, key: int, url: str, workers: list[Worker]
) -> None:
    for number, worker in enumerate(workers):
        worker.tell("append", url=url, key=key, name=f"P{number}", count=EACH)
    numbers_of = [worker.answer() for worker in workers]
    assert all(numbers == sorted(numbers) for numbers in numbers_of)
    appended = sorted(number for numbers in numbers_of for number in numbers)
    assert appended == list(range(2, PROCESSES * EACH + 2)), "each has a number of its own and none is left out"
    assert [stored.id for stored in answers_after(store, key, 0)] == appended
    assert store.verify(key)[0] == appended[-1]


def test_processes_that_open_a_new_database_at_the_same_moment_all_find_its_tables(
    new_url: Callable[[], str], workers: list[Worker]
) -> None:
    for _ in range(OPENINGS):
        url = new_url()
        for worker in workers:
            worker.tell("open", url=url)
        assert [worker.answer() for worker in workers] == [[]] * PROCESSES
        assert import_plant(Store(url), bare_plant(), by="", writer="w") == 1


def named(name: str) -> Plant:
    return valid_plant().model_copy(update={"plant": valid_plant().plant.model_copy(update={"name": name})})


@pytest.mark.parametrize("name", ["North Works", "South Works", "East Works", "West Works"])
def test_a_plant_that_several_import_for_the_first_time_at_once_is_one_plant_with_every_answer_once(
    url: str, name: str
) -> None:
    stores = [Store(url) for _ in range(PROCESSES)]
    with ThreadPoolExecutor(PROCESSES) as threads:
        keys = list(threads.map(lambda opened: import_plant(opened, named(name), by="", writer="w"), stores))
    assert set(keys) == set(stores[0].plants()) == {keys[0]}
    assert len(answers_after(stores[0], keys[0], 0)) == len(valid_plant().answers)
    assert stores[0].verify(keys[0])[0] == PROCESSES + len(valid_plant().answers)


def test_an_import_while_others_answer_loses_nothing_and_breaks_off_for_nothing(
    store: Store, key: int, url: str
) -> None:
    imported = plant_file.from_text("again", plant_file.to_text(valid_plant()))
    importer = Store(url)

    def import_often() -> None:
        for _ in range(10):
            import_plant(importer, imported, by="", writer="import")

    said_first = []
    with ThreadPoolExecutor(1) as threads:
        importing = threads.submit(import_often)
        while not importing.done():
            said_first.append(say(store, key, f"Q{len(said_first)}", OF))
        importing.result()
    assert [stored for stored in answers_after(store, key, 0) if stored.writer == "test"] == said_first
    assert store.verify(key)[0] == store.version(key).last


def test_one_for_whom_no_connection_is_free_is_told_to_try_again_and_then_is_served(store: Store, key: int) -> None:
    pool = store.engine.pool
    pool._timeout = 0.05  # noqa: SLF001  (it waits ten seconds and more; this test need not)
    with ExitStack() as stack:
        for _ in range(schema.POOL["pool_size"]):
            stack.enter_context(store.engine.connect())
        with pytest.raises(
            StoreUnavailable, match=r"^too many requests to the database at once\. .* try again in a moment\.$"
        ):
            store.version(key)
    assert store.version(key).last == 1
