"""Two people who answer on top of the same answer cannot both be stored."""

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
    """Somebody answers, on top of the answer that they saw."""
    person = Person(who, frozenset({MEMBER}), writer=f"browser of {who}")
    fields = answer(question, OF, value, evidence=f"seen by {who}").model_dump()
    return answering.record(Live(store, key), person, fields, seen=seen)


def race(stores: list[Store], key: int, question: str, seen: int) -> list[StoredAnswer | AnsweredMeanwhile]:
    """All writers answer at the same moment."""
    start = Barrier(WRITERS)

    def write(at: int) -> StoredAnswer | AnsweredMeanwhile:
        start.wait()
        try:
            return record(stores[at], key, question, ("met", "not-met")[at % 2], f"writer {at}", seen=seen)
        except AnsweredMeanwhile as told:
            return told

    with ThreadPoolExecutor(WRITERS) as threads:
        return list(threads.map(write, range(WRITERS)))


@pytest.mark.parametrize("shared", [True, False], ids=["one store", "a store each"])
@pytest.mark.parametrize("question", ["SEP1", "SEP4", "DIV3"])
def test_of_eight_racing_writers_one_wins_and_seven_are_told_who_did(
    store: Store, key: int, url: str, question: str, *, shared: bool
) -> None:
    stores = [store if shared else Store(url) for _ in range(WRITERS)]
    seen = say(store, key, question, OF, "unknown").id if question == "SEP4" else 0
    before = len(history(store, key, question, OF))
    ended = race(stores, key, question, seen)
    won = [one for one in ended if isinstance(one, StoredAnswer)]
    told = [one for one in ended if isinstance(one, AnsweredMeanwhile)]
    assert (len(won), len(told)) == (1, WRITERS - 1)
    assert {one.theirs for one in told} == {won[0].answer}
    assert len(history(store, key, question, OF)) == before + 1
    assert latest(store, key, question, OF) == won[0]


def test_one_who_saw_an_older_answer_is_told_what_holds_now_and_what_to_do(store: Store, key: int) -> None:
    first = say(store, key, "SEP1", OF, "met", by="A")
    say(store, key, "SEP1", OF, "partly", by="instrument engineer")
    with pytest.raises(AnsweredMeanwhile) as told:
        record(store, key, "SEP1", "not-met", "late", seen=first.id)
    assert told.value.theirs.value == "partly"
    assert str(told.value) == (
        "instrument engineer answered this first: partly. Yours was not stored; "
        "check theirs, and answer again if you disagree"
    )


def test_an_answer_without_a_name_was_given_by_somebody(store: Store, key: int) -> None:
    say(store, key, "SEP1", OF, "met")
    with pytest.raises(AnsweredMeanwhile, match=r"^somebody answered this first: met\."):
        record(store, key, "SEP1", "not-met", "late", seen=0)


def test_one_who_looks_at_it_and_disagrees_is_stored_on_top(store: Store, key: int) -> None:
    theirs = say(store, key, "SEP1", OF, "met", by="A")
    ours = record(store, key, "SEP1", "not-met", "B", seen=theirs.id)
    assert history(store, key, "SEP1", OF) == [theirs, ours]


def test_writers_of_different_questions_do_not_stand_in_each_others_way(store: Store, key: int, url: str) -> None:
    names = ("SEP1", "SEP4", "SEP5", "DIV3", "DIV4", "DIV8", "DIV9", "CPX1")
    stores = {name: Store(url) for name in names}
    with ThreadPoolExecutor(len(names)) as threads:
        ended = list(threads.map(lambda name: record(stores[name], key, name, "met", "A", seen=0), names))
    assert sorted(one.id for one in ended) == sorted(one.id for one in answers_after(store, key, 0))
    assert {one.answer.question for one in ended} == set(names)


def test_the_same_answer_of_somebody_else_is_no_conflict_and_is_stored_once(store: Store, key: int) -> None:
    first = record(store, key, "SEP1", "met", "A", seen=0)
    fields = first.answer.model_dump()
    second = answering.record(Live(store, key), Person("B", frozenset({MEMBER}), writer="b"), fields, seen=0)
    assert second == first
    assert history(store, key, "SEP1", OF) == [first]


def test_two_changes_of_one_browser_sent_in_the_same_breath_are_no_conflict(store: Store, key: int) -> None:
    first = record(store, key, "SEP1", "met", "A", seen=0)
    second = record(store, key, "SEP1", "partly", "A", seen=0)
    assert second.follows == first.id
