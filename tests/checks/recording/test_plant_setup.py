"""Plant data saved from the set-up screens, undone, and saved by two people at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, NotAllowed, Person
from checks.journal.store import Store
from checks.plant_tables.list_import import Choices
from checks.plant_tables.matching import Chosen
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.recording import plant_setup
from checks.recording.plant_setup import DataChangedMeanwhile, NothingToUndo
from checks.state.live import Live
from tests.checks.given import valid_plant
from tests.checks.journal.stored import import_plant

ONE = Person("FA-1", frozenset((FACILITATOR,)), writer="one")
OTHER = Person("FA-2", frozenset((FACILITATOR,)), writer="other")


@pytest.fixture
def live(tmp_path: Path) -> Live:
    store = Store(f"sqlite:///{tmp_path / 'set-up.sqlite3'}")
    return Live(store, import_plant(store, valid_plant(), by="FA-1", writer="import"))


def _with_rate(plant: Plant, fit: float) -> Plant:
    device = plant.devices["PT"].model_copy(update={"lambda_du_fit": fit})
    return plant.model_copy(update={"devices": {**plant.devices, "PT": device}})


def _seen(live: Live) -> int:
    return live.state().version.data


def test_a_save_is_one_event_with_the_whole_plant_and_its_author(live: Live) -> None:
    count = live.state().version.last
    event = plant_setup.save(live, ONE, _with_rate(live.state().plant, 900.0), seen=_seen(live))
    state = live.state()
    assert state.version.last == count + 1
    assert (event.by, event.kind) == ("FA-1", "plant-data")
    assert state.plant.devices["PT"].lambda_du_fit == 900.0
    assert len(state.stored) == len(valid_plant().answers), "the answers stay"


def test_undo_brings_the_state_before_back_as_a_new_event(live: Live) -> None:
    first = plant_file.to_text(live.state().plant)
    plant_setup.save(live, ONE, _with_rate(live.state().plant, 900.0), seen=_seen(live))
    count = live.state().version.last
    plant_setup.undo(live, OTHER, seen=_seen(live))
    assert plant_file.to_text(live.state().plant) == first
    assert live.state().version.last == count + 1
    assert [saved.by for saved in plant_setup.latest(live, 5)] == ["FA-2", "FA-1", "FA-1"]


def test_the_second_of_two_people_is_told_and_loses_nothing_of_the_first(live: Live) -> None:
    seen, plant = _seen(live), live.state().plant
    plant_setup.save(live, OTHER, _with_rate(plant, 900.0), seen=seen)
    with pytest.raises(DataChangedMeanwhile, match="FA-2 changed the plant data at"):
        plant_setup.save(live, ONE, _with_rate(plant, 100.0), seen=seen)
    assert live.state().plant.devices["PT"].lambda_du_fit == 900.0


def test_the_first_state_has_none_before_it(live: Live) -> None:
    with pytest.raises(NothingToUndo):
        plant_setup.undo(live, ONE, seen=_seen(live))


def test_an_assessor_does_not_change_plant_data(live: Live) -> None:
    with pytest.raises(NotAllowed):
        plant_setup.save(live, Person("IA-1", frozenset((ASSESSOR,))), live.state().plant, seen=_seen(live))


def test_the_name_in_the_data_is_the_name_of_the_plant_in_the_list(live: Live) -> None:
    about = live.state().plant.plant.model_copy(update={"name": "Renamed Works"})
    plant_setup.save(live, ONE, live.state().plant.model_copy(update={"plant": about}), seen=_seen(live))
    assert live.store.plants() == {live.key: "Renamed Works"}


def test_what_was_chosen_for_a_list_is_there_for_the_next_one_and_other_saves_write_nothing_of_it(live: Live) -> None:
    chosen = Choices(Chosen({"Index": "Devices"}, {"Devices": {"Maker": "source", "Room": ""}}), "comma")
    assert plant_setup.choices_of_list(live) == Choices()
    plant_setup.save(live, ONE, _with_rate(live.state().plant, 900.0), seen=_seen(live), columns=chosen.plain())
    later = plant_setup.save(live, OTHER, _with_rate(live.state().plant, 800.0), seen=_seen(live))
    assert set(later.content) == {"text"}
    assert plant_setup.choices_of_list(live) == chosen
    plant_setup.save(live, ONE, live.state().plant, seen=_seen(live), columns={"sheets": {"Index": "Pumps"}})
    assert plant_setup.choices_of_list(live) == Choices(), "of a later release"
