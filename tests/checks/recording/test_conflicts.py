"""Of two answers that follow the same answer only one is stored."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest

from checks.access.roles import MEMBER, Person
from checks.events.answering.answer import StoredAnswer
from checks.journal.store import Store
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live
from tests.checks.given import answer
from tests.checks.journal.stored import answers_after, history, latest, say

WRITERS = 8
OF = "group:pt-301"


def record(store: Store, key: int, question: str, value: str, who: str, *, seen: int) -> StoredAnswer:
    """Answer after the answer with the number ``seen``."""
    person = Person(who, frozenset({MEMBER}), writer=f"browser of {who}")
    fields = answer(question, OF, value, evidence=f"seen by {who}").model_dump()
    return answering.record(Live(store, key), person, fields, seen=seen)


def race(stores: list[Store], key: int, question: str, seen: int) -> list[StoredAnswer | AnsweredMeanwhile]:
    """Let all writers answer at the same moment."""
    start = Barrier(WRITERS)

    def write(number: int) -> StoredAnswer | AnsweredMeanwhile:
        start.wait()
        try:
            return record(stores[number], key, question, ("met", "not-met")[number % 2], f"writer {number}", seen=seen)
        except AnsweredMeanwhile as refused:
            return refused

    with ThreadPoolExecutor(WRITERS) as threads:
        return list(threads.map(write, range(WRITERS)))


@pytest.mark.parametrize("shared", [True, False], ids=["one store", "a store each"])
@pytest.mark.parametrize("question", ["SEP1", "SEP4", "DIV3"])
def test_of_eight_racing_writers_one_is_stored_and_seven_learn_whose(
    store: Store, key: int, url: str, question: str, *, shared: bool
) -> None:
    stores = [store if shared else Store(url) for _ in range(WRITERS)]
    seen = say(store, key, question, OF, "unknown").id if question == "SEP4" else 0
    before = len(history(store, key, question, OF))
    results = race(stores, key, question, seen)
    stored = [result for result in results if isinstance(result, StoredAnswer)]
    refused = [result for result in results if isinstance(result, AnsweredMeanwhile)]
    assert (len(stored), len(refused)) == (1, WRITERS - 1)
    assert {error.theirs for error in refused} == {stored[0].answer}
    assert len(history(store, key, question, OF)) == before + 1
    assert latest(store, key, question, OF) == stored[0]


def test_a_writer_who_saw_an_older_answer_learns_the_stored_one_and_what_to_do(store: Store, key: int) -> None:
    first = say(store, key, "SEP1", OF, "met", by="A")
    say(store, key, "SEP1", OF, "partly", by="instrument engineer")
    with pytest.raises(AnsweredMeanwhile) as error:
        record(store, key, "SEP1", "not-met", "late", seen=first.id)
    assert error.value.theirs.value == "partly"
    assert str(error.value) == (
        "instrument engineer answered this first: partly. Yours was not stored; "
        "check theirs, and answer again if you disagree"
    )


def test_the_message_names_somebody_for_an_answer_without_a_name(store: Store, key: int) -> None:
    say(store, key, "SEP1", OF, "met")
    with pytest.raises(AnsweredMeanwhile, match=r"^somebody answered this first: met\."):
        record(store, key, "SEP1", "not-met", "late", seen=0)


def test_a_writer_who_saw_it_and_disagrees_is_stored(store: Store, key: int) -> None:
    earlier = say(store, key, "SEP1", OF, "met", by="A")
    later = record(store, key, "SEP1", "not-met", "B", seen=earlier.id)
    assert history(store, key, "SEP1", OF) == [earlier, later]


def test_writers_of_different_questions_do_not_conflict(store: Store, key: int, url: str) -> None:
    names = ("SEP1", "SEP4", "SEP5", "DIV3", "DIV4", "DIV8", "DIV9", "CPX1")
    stores = {name: Store(url) for name in names}
    with ThreadPoolExecutor(len(names)) as threads:
        results = list(threads.map(lambda name: record(stores[name], key, name, "met", "A", seen=0), names))
    assert sorted(result.id for result in results) == sorted(stored.id for stored in answers_after(store, key, 0))
    assert {result.answer.question for result in results} == set(names)


def test_the_same_answer_of_somebody_else_is_no_conflict_and_is_stored_once(store: Store, key: int) -> None:
    first = record(store, key, "SEP1", "met", "A", seen=0)
    fields = first.answer.model_dump()
    second = answering.record(Live(store, key), Person("B", frozenset({MEMBER}), writer="b"), fields, seen=0)
    assert second == first
    assert history(store, key, "SEP1", OF) == [first]


def test_two_changes_of_one_browser_sent_together_are_no_conflict(store: Store, key: int) -> None:
    first = record(store, key, "SEP1", "met", "A", seen=0)
    second = record(store, key, "SEP1", "partly", "A", seen=0)
    assert second.follows == first.id
