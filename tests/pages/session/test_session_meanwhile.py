"""Two people at one question, and a store that is unavailable: nothing stored is lost, and the screen says so."""

from __future__ import annotations

import sqlite3

import pytest
from streamlit.testing.v1 import AppTest

from checks.events.answering.answer import StoredAnswer
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from pages.cached import database
from tests.checks.given import answer
from tests.checks.journal.stored import history, latest, on_connect, save
from tests.pages.shown import Screen, answers, box, fine, said, type_in, unescaped

GROUP, QUESTION = "group:pt-301", "DIV8"


def at_question(screen: Screen) -> AppTest:
    return fine(screen("common-cause", group="pt-301", q=QUESTION))


def other(store: Store, value: str, **more: str) -> StoredAnswer:
    """Somebody at another server answers the same question."""
    earlier = history(store, 1, QUESTION, GROUP)
    theirs = answer(QUESTION, GROUP, value, **more)
    return save(store, 1, theirs, seen=earlier[-1].id if earlier else 0, writer="other")


def warnings(at: AppTest) -> list[str]:
    return [unescaped(warning.value) for warning in at.warning]


def test_an_answer_given_meanwhile_is_shown_and_not_written_over(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    theirs = other(store, "not-met", by="technician IT-3", evidence="book CB-30", note="one tester")
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    (sentence,) = warnings(at)
    assert sentence == (
        "technician IT-3 answered this first: not-met. Yours was not stored; "
        "check theirs, and answer again if you disagree."
    )
    assert history(store, 1, QUESTION, GROUP) == [theirs]
    assert answers(at, QUESTION, GROUP).value == "not-met"
    assert box(at, "evidence", QUESTION, GROUP).value == "book CB-30"
    assert box(at, "note", QUESTION, GROUP).value == "one tester"


def test_one_who_still_disagrees_answers_again_and_both_answers_are_kept(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    theirs = other(store, "not-met", by="technician IT-3")
    answers(at, QUESTION, GROUP).set_value("met").run()
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    first, second = history(store, 1, QUESTION, GROUP)
    assert first == theirs
    assert (second.answer.value, second.follows) == ("met", theirs.id)
    assert not at.warning


def test_two_who_give_the_same_answer_are_told_so_and_one_is_stored(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    theirs = other(store, "met", by="technician IT-3")
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    assert warnings(at) == ["technician IT-3 has just given the same answer."]
    assert history(store, 1, QUESTION, GROUP) == [theirs]


def test_two_browsers_at_one_question_see_each_other(store: Store, screen: Screen) -> None:
    first, second = at_question(screen), at_question(screen)
    fine(answers(first, QUESTION, GROUP).set_value("met").run())
    fine(answers(second, QUESTION, GROUP).set_value("not-met").run())
    assert len(warnings(second)) == 1
    assert [version.answer.value for version in history(store, 1, QUESTION, GROUP)] == ["met"]
    fine(answers(second, QUESTION, GROUP).set_value("not-met").run())
    fine(first.run())
    assert answers(first, QUESTION, GROUP).value == "not-met"
    writers = [version.writer for version in history(store, 1, QUESTION, GROUP)]
    assert len(set(writers)) == 2


def test_an_answer_of_another_server_is_seen_at_the_next_look(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    other(store, "partly", by="technician IT-3", evidence="book CB-30")
    fine(at.run())
    assert answers(at, QUESTION, GROUP).value == "partly"
    assert box(at, "evidence", QUESTION, GROUP).value == "book CB-30"
    assert "by technician IT-3" in said(at)


def test_changing_ones_own_answer_twice_in_one_breath_is_no_conflict(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    answers(at, QUESTION, GROUP).set_value("met")
    type_in(at, "evidence", QUESTION, GROUP, "book CB-30")
    type_in(at, "note", QUESTION, GROUP, "two testers")
    fine(at.run())
    assert not at.warning
    stored = latest(store, 1, QUESTION, GROUP).answer
    assert (stored.value, stored.evidence, stored.note) == ("met", "book CB-30", "two testers")


def test_a_store_that_fails_while_saving_is_a_sentence_and_the_answer_can_be_given_again(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = at_question(screen)

    def away(*_: object, **__: object) -> None:
        raise StoreUnavailable("the disk is away", "plug it in")

    with monkeypatch.context() as patch:
        patch.setattr(Store, "record", away)
        answers(at, QUESTION, GROUP).set_value("met").run()
    assert not at.exception
    assert [unescaped(element.value) for element in at.error] == [
        "Not stored: the disk is away. Nothing stored was lost; plug it in."
    ]
    assert history(store, 1, QUESTION, GROUP) == []
    assert "Not answered yet" in said(at)
    fine(answers(at, QUESTION, GROUP).set_value("partly").run())
    assert latest(store, 1, QUESTION, GROUP).answer.value == "partly"


def test_a_database_that_can_only_be_read_still_shows_everything(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    on_connect(database.store(), "query_only=ON")
    answers(at, QUESTION, GROUP).set_value("met").run()
    assert not at.exception
    (sentence,) = [unescaped(element.value) for element in at.error]
    assert sentence.startswith("Not stored: the database does not answer (attempt to write a readonly database).")
    assert "**25 of 26 answered**" in said(at)
    assert history(store, 1, QUESTION, GROUP) == []


def test_a_database_that_somebody_holds_is_a_sentence_and_takes_the_answer_later(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    on_connect(database.store(), "busy_timeout=50")
    holder = sqlite3.connect(str(store.engine.url.database), isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    answers(at, QUESTION, GROUP).set_value("met").run()
    holder.execute("ROLLBACK")
    holder.close()
    assert not at.exception
    assert "database is locked" in unescaped(at.error[0].value)
    fine(answers(at, QUESTION, GROUP).set_value("partly").run())
    assert [version.answer.value for version in history(store, 1, QUESTION, GROUP)] == ["partly"]


def test_a_store_that_goes_away_between_two_looks_is_a_sentence(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    with sqlite3.connect(str(store.engine.url.database)) as broken:
        broken.execute("ALTER TABLE event RENAME TO gone")
    broken.close()
    answers(at, QUESTION, GROUP).set_value("met").run()
    assert not at.exception
    assert any("a table was removed from the database" in unescaped(element.value) for element in at.error)


def test_a_note_typed_while_somebody_else_answers_is_still_there_and_not_lost(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    theirs = other(store, "not-met", by="technician IT-3", evidence="book CB-30", note="one tester")
    box(at, "note", QUESTION, GROUP).set_value("two testers, seen on the sheet")
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    assert warnings(at) == [ASKED]
    assert box(at, "note", QUESTION, GROUP).value == "two testers, seen on the sheet"
    assert box(at, "evidence", QUESTION, GROUP).value == "book CB-30"
    assert answers(at, QUESTION, GROUP).value == "not-met"
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    first, second = history(store, 1, QUESTION, GROUP)
    assert first == theirs
    assert (second.answer.value, second.answer.note) == ("met", "two testers, seen on the sheet")
    assert not at.warning


ASKED = "technician IT-3 answered **Not met** meanwhile. What you typed is not stored yet."


def test_evidence_typed_before_somebody_else_answers_goes_with_their_value_only_if_the_reader_says_so(
    store: Store, screen: Screen
) -> None:
    at = at_question(screen)
    fine(type_in(at, "evidence", QUESTION, GROUP, "sheet 7").run())
    theirs = other(store, "not-met", by="technician IT-3")
    fine(at.run())
    assert warnings(at) == [ASKED]
    fine(type_in(at, "evidence", QUESTION, GROUP, "sheet 7, second page").run())
    assert history(store, 1, QUESTION, GROUP) == [theirs], "typed on, and still not stored"
    fine(at.button(key="with_theirs").click().run())
    mine = history(store, 1, QUESTION, GROUP)[-1]
    assert (mine.follows, mine.answer.value, mine.answer.evidence) == (theirs.id, "not-met", "sheet 7, second page")
    assert not at.warning


def test_text_typed_after_the_value_changed_unseen_is_asked_about_and_can_be_discarded(
    store: Store, screen: Screen
) -> None:
    """Words in the box that the browser has not sent yet belong to the value seen when they were begun."""
    at = at_question(screen)
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    theirs = other(store, "not-met", by="technician IT-3")
    fine(at.run())
    assert not at.warning, "nothing was typed"
    fine(type_in(at, "evidence", QUESTION, GROUP, "sheet 7").run())
    assert warnings(at) == [ASKED]
    assert history(store, 1, QUESTION, GROUP)[-1] == theirs
    fine(at.button(key="discard_mine").click().run())
    assert not at.warning
    assert box(at, "evidence", QUESTION, GROUP).value == ""
    fine(type_in(at, "evidence", QUESTION, GROUP, "sheet 8").run())
    assert history(store, 1, QUESTION, GROUP)[-1].answer.evidence == "sheet 8", "the value was seen when this was typed"


def test_a_further_text_of_the_same_value_is_no_question(store: Store, screen: Screen) -> None:
    at = at_question(screen)
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    other(store, "met", by="technician IT-3", note="one tester")
    fine(at.run())
    fine(type_in(at, "evidence", QUESTION, GROUP, "sheet 7").run())
    latest_answer = history(store, 1, QUESTION, GROUP)[-1].answer
    assert (latest_answer.evidence, latest_answer.note) == ("sheet 7", "one tester")
    assert not at.warning
