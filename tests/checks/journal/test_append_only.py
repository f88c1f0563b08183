"""Answers are appended and never overwritten."""

from __future__ import annotations

import pytest
from sqlalchemy import func, select

from checks.journal import schema
from checks.journal.errors import NoSuchPlant
from checks.journal.store import Store
from tests.checks.given import bare_plant, valid_plant
from tests.checks.journal.stored import answers_after, history, import_plant, latest, plant_data, say, statements


def rows(store: Store) -> int:
    with store.engine.connect() as connection:
        return connection.execute(select(func.count()).where(schema.event.c.kind == "answer")).scalar_one()


def test_two_answers_to_one_question_leave_two_rows_and_both_are_in_the_history(store: Store, key: int) -> None:
    first = say(store, key, "SEP1", "group:pt-301", "met", evidence="drawing 4", by="A")
    second = say(store, key, "SEP1", "group:pt-301", "not-met", note="seen otherwise", by="B")
    assert rows(store) == 2
    assert history(store, key, "SEP1", "group:pt-301") == [first, second]
    assert latest(store, key, "SEP1", "group:pt-301") == second
    assert second.follows == first.id


def test_nothing_that_a_store_sends_changes_or_removes_an_event(store: Store, key: int) -> None:
    with statements(store) as sent:
        say(store, key, "SEP1", "group:pt-301", "met")
        say(store, key, "SEP1", "group:pt-301", "partly")
        import_plant(store, valid_plant(), by="", writer="w")
        import_plant(store, bare_plant(exposure_rule="none"), by="", writer="w")
        store.version(key), plant_data(store, key), store.plants(), answers_after(store, key, 0)
    words = {statement.split()[0].upper() for statement in sent}
    assert "INSERT" in words
    assert words <= {"INSERT", "SELECT", "BEGIN", "UPDATE"}, words
    changed = {statement.partition("=")[0] for statement in sent if statement.upper().startswith("UPDATE")}
    assert changed == {"UPDATE plant SET events"}, "only the count and the end of the journal move on"


def test_an_answer_comes_back_letter_by_letter(store: Store, key: int) -> None:
    text = "é 漢字 \u202e 🏭\n\tline two ' \" ; -- \\ %s {x} ![a](b)"
    kept = say(store, key, "SEP1", "group:pt-301", "equivalent", evidence=text, note=text, by=text, on="2025-03-04")
    assert history(store, key, "SEP1", "group:pt-301") == [kept]


def test_answers_of_other_addressees_and_other_plants_are_kept_apart(store: Store, key: int) -> None:
    other_plant = bare_plant().model_copy(update={"plant": bare_plant().plant.model_copy(update={"name": "Other"})})
    other = import_plant(store, other_plant, by="", writer="w")
    first = say(store, key, "PRO1", "plant", "met")
    say(store, key, "PRO1", "system:S30", "partly")
    second = say(store, other, "PRO1", "plant", "not-met")
    assert history(store, key, "PRO1", "plant") == [first]
    assert history(store, other, "PRO1", "plant") == [second]
    assert store.plants() == {key: "Quillmarch Works", other: "Other"}


def test_answers_after_a_number_are_those_that_came_later_oldest_first(store: Store, key: int) -> None:
    kept = [say(store, key, name, "group:pt-301") for name in ("SEP1", "SEP4", "DIV3")]
    assert answers_after(store, key, 0) == kept
    assert answers_after(store, key, kept[0].id) == kept[1:]
    assert answers_after(store, key, kept[-1].id) == []


def test_the_version_grows_with_each_answer_and_each_import(store: Store, key: int) -> None:
    start = store.version(key)
    say(store, key, "SEP1", "group:pt-301")
    answered = store.version(key)
    assert answered.last > start.last
    assert answered.data == start.data
    import_plant(store, bare_plant(), by="", writer="w")
    imported = store.version(key)
    assert imported.data > answered.data
    assert imported.last > answered.last


def test_an_answer_to_one_plant_does_not_move_the_version_of_another(store: Store, key: int) -> None:
    other_plant = bare_plant().model_copy(update={"plant": bare_plant().plant.model_copy(update={"name": "Other"})})
    other = import_plant(store, other_plant, by="", writer="w")
    before = store.version(key)
    say(store, other, "SEP1", "group:pt-301")
    assert store.version(key) == before


def test_a_plant_that_is_not_there_is_named(store: Store, key: int) -> None:
    with pytest.raises(NoSuchPlant, match=f"^plant {key + 1} is not in the store; choose one from the list$"):
        store.version(key + 1)
