"""Importing a plant adds its data and its new answers, and removes nothing."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import event

from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from checks.state.live import Live
from tests.checks.given import answer, bare_plant, plain, valid_plant
from tests.checks.journal.stored import answers_after, history, import_plant, many, plant_data, save, say


def in_order(answers: list[Answer]) -> list[Answer]:
    return sorted(answers, key=lambda answer_of: (answer_of.of, answer_of.question))


def state_file(store: Store, key: int) -> Plant:
    file = Live(store, key).state().file()
    return file.model_copy(update={"answers": in_order(file.answers)})


def test_a_plant_comes_back_with_its_answers(store: Store) -> None:
    plant = valid_plant()
    key = import_plant(store, plant, by="A", writer="w")
    assert plant_data(store, key) == plant.model_copy(update={"answers": []})
    assert state_file(store, key) == plant.model_copy(update={"answers": in_order(plant.answers)})


def test_importing_the_same_file_twice_stores_no_answer_twice(store: Store) -> None:
    key = import_plant(store, valid_plant(), by="", writer="w")
    before, state = answers_after(store, key, 0), state_file(store, key)
    assert import_plant(store, valid_plant(), by="", writer="w") == key
    assert answers_after(store, key, 0) == before
    assert state_file(store, key) == state


def test_answers_given_since_stay_when_the_data_are_imported_again(store: Store, key: int) -> None:
    stored = [say(store, key, drawn.question, drawn.of, drawn.value) for drawn in many(bare_plant(), 30)]
    import_plant(store, bare_plant(voting_factor="pds-2013"), by="", writer="w")
    assert answers_after(store, key, 0) == stored
    assert plant_data(store, key).conventions.voting_factor == "pds-2013"


def test_an_imported_answer_that_differs_is_appended_on_top_of_what_was_said(store: Store) -> None:
    key = import_plant(store, valid_plant(), by="", writer="w")
    mine = say(store, key, "SEP1", "group:pt-301", "not-met", by="A")
    import_plant(store, valid_plant(), by="", writer="second")
    answers = history(store, key, "SEP1", "group:pt-301")
    assert [stored.answer.value for stored in answers] == ["met", "not-met", "met"]
    assert answers[-1].follows == mine.id
    assert answers[-1].writer == "second"


def without_the_temperature_group() -> dict[str, Any]:
    raw = plain()
    raw["answers"] = []
    raw["functions"]["SIF-401"]["groups"] = ["ls-sis"]
    del raw["groups"]["tt-401"]
    return raw


def test_answers_of_a_group_that_the_new_data_lack_stay_stored_but_leave_the_file(store: Store, key: int) -> None:
    gone = say(store, key, "SEP1", "group:tt-401", "met")
    kept = say(store, key, "SEP1", "group:pt-301", "partly")
    import_plant(store, Plant.model_validate(without_the_temperature_group()), by="", writer="w")
    state = Live(store, key).state()
    assert history(store, key, "SEP1", "group:tt-401") == [gone]
    assert state.file().answers == [kept.answer]
    assert plant_file.from_text("again", plant_file.to_text(state.file())) == state.file()
    import_plant(store, bare_plant(), by="", writer="w")
    assert gone.answer in Live(store, key).state().file().answers, "it speaks again when the group is back"


def test_what_is_exported_reads_back_equal_and_makes_the_same_plant_elsewhere(
    store: Store, key: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    for drawn in many(bare_plant(), 120):
        say(store, key, drawn.question, drawn.of, drawn.value, evidence=drawn.evidence)
    file = Live(store, key).state().file()
    again = plant_file.from_text("again", plant_file.to_text(file))
    assert again == file
    other = Store(f"sqlite:///{tmp_path_factory.mktemp('other') / 'x.sqlite3'}")
    assert state_file(other, import_plant(other, again, by="", writer="w")) == state_file(store, key)


def test_an_import_that_breaks_off_leaves_nothing_behind(store: Store, key: int) -> None:
    before = store.version(key)

    def _break(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("INSERT INTO event"):
            raise KeyboardInterrupt

    event.listen(store.engine, "before_cursor_execute", _break)
    renamed = valid_plant().model_copy(update={"plant": valid_plant().plant.model_copy(update={"name": "New"})})
    for plant in (valid_plant(), renamed):
        with pytest.raises(KeyboardInterrupt):
            import_plant(store, plant, by="", writer="w")
    event.remove(store.engine, "before_cursor_execute", _break)
    assert store.version(key) == before
    assert store.plants() == {key: "Quillmarch Works"}
    assert save(store, key, answer("SEP1", "group:pt-301"), seen=0, writer="w").id == before.last + 1
