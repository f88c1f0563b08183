"""Plants of one database: begun, renamed, archived and brought back; nothing is deleted."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.access.roles import MEMBER, NoName, NotAllowed, Person
from checks.journal.errors import Overtaken
from checks.journal.store import Store
from checks.record_files.verification import verify_store
from checks.recording import plant_import, plants
from checks.recording.plants import ListedPlant
from checks.state.live import Live
from checks.text.faults import Refused
from tests import demo_database
from tests.checks.team import LEADS, LOOKS_ON, OWNS, Team, every_answer, founded, three_systems


@pytest.fixture
def team(tmp_path: Path) -> Team:
    plant = three_systems().model_copy(update={"answers": every_answer()})
    return founded(tmp_path / "plants.sqlite3", plant, "safety", "security")


def only(store: Store) -> ListedPlant:
    (plant,) = plants.listed(store)
    return plant


def test_an_empty_plant_is_begun_with_a_name_and_takes_a_plant_file_of_that_name(tmp_path: Path) -> None:
    store = Store(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    key = plants.begin(store, LEADS, "  Quillmarch Works ")
    state = Live(store, key).state()
    assert (state.plant.plant.name, state.plant.groups, state.plant.functions) == ("Quillmarch Works", {}, {})
    assert plant_import.import_plant(store, LEADS, three_systems()) == key
    assert Live(store, key).state().plant.functions
    assert list(verify_store(store))


@pytest.mark.parametrize("name", ["", "  ", "x" * 201, "a\x00b"])
def test_a_plant_needs_a_name_that_can_be_stored(tmp_path: Path, name: str) -> None:
    store = Store(f"sqlite:///{tmp_path / 'new.sqlite3'}")
    with pytest.raises(Refused, match="name"):
        plants.begin(store, LEADS, name)
    assert store.plants() == {}


def test_a_name_belongs_to_one_plant_archived_or_not(team: Team) -> None:
    plants.archive_plant(team.live, OWNS)
    with pytest.raises(Refused, match="'Quillmarch Works' is the name of another plant; choose another"):
        plants.begin(team.store, LEADS, "Quillmarch Works")
    other = Live(team.store, plants.begin(team.store, LEADS, "Other Works"))
    with pytest.raises(Refused, match="'Quillmarch Works' is the name of another plant"):
        plants.rename(other, LEADS, "Quillmarch Works")
    assert other.state().plant.plant.name == "Other Works"
    assert list(team.store.plants().values()) == ["Quillmarch Works", "Other Works"]


def test_a_renamed_plant_keeps_its_answers_its_address_and_its_sign_offs(team: Team) -> None:
    revision, address, before = team.signed(), only(team.store).address, team.now()
    plants.rename(team.live, LEADS, "Quillmarch North")
    now = team.now()
    assert (now.plant.plant.name, only(team.store).name) == ("Quillmarch North", "Quillmarch North")
    assert only(team.store).address == address
    assert now.stored == before.stored
    assert now.records.again(revision).voided is None
    assert team.state()[0] == "signed"
    assert plant_import.import_plant(team.store, LEADS, now.file()) == 1, "a file of the new name goes into this plant"
    assert list(verify_store(team.store))


def test_a_rename_does_not_undo_plant_data_that_came_meanwhile(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    old = team.now()
    team.change(three_systems().model_copy(update={"zones": {**old.plant.zones}, "conduits": {}}))
    late = Live(team.store, 1)
    monkeypatch.setattr(late, "state", lambda: old)
    with pytest.raises(Overtaken, match="FA-1 was first"):
        plants.rename(late, OWNS, "Quillmarch North")
    assert only(team.store).name == team.now().plant.plant.name == "Quillmarch Works"


def test_an_archived_plant_keeps_everything_and_comes_back(team: Team) -> None:
    revision, before = team.signed(), team.now()
    plants.archive_plant(team.live, OWNS)
    assert only(team.store).archived
    assert team.now().stored == before.stored
    assert team.now().records.again(revision).voided is None
    plants.bring_back(team.live, LEADS)
    assert not only(team.store).archived
    assert [event.by for event in team.store.events(1, kinds=("archive",))] == [OWNS.name, LEADS.name]
    assert list(verify_store(team.store))


def test_a_record_file_shows_nothing_of_it(team: Team) -> None:
    revision = team.signed()
    plants.archive_plant(team.live, OWNS)
    assert '"archived"' not in team.export(revision)


def test_who_may_not_or_gives_no_name_changes_nothing(team: Team) -> None:
    count = team.count()
    nobody = Person("", LEADS.roles)
    for person, why in ((LOOKS_ON, NotAllowed), (nobody, NoName), (Person("A", frozenset({MEMBER})), NotAllowed)):
        with pytest.raises(why):
            plants.archive_plant(team.live, person)
    for person, why in ((LOOKS_ON, NotAllowed), (nobody, NoName)):
        with pytest.raises(why):
            plants.rename(team.live, person, "Other Works")
        with pytest.raises(why):
            plants.begin(team.store, person, "Other Works")
    assert (team.count(), team.store.plants()) == (count, {1: "Quillmarch Works"})


def test_a_newcomer_lands_on_an_own_plant_not_on_the_demo(tmp_path: Path) -> None:
    store = Store(f"sqlite:///{demo_database.written(tmp_path / 'demo.sqlite3')}")
    demo = only(store)
    assert (demo.demo, plants.landing([demo])) == (True, demo)
    for name in ("First Works", "Second Works"):
        plants.begin(store, LEADS, name)
    landed = plants.landing(plants.listed(store))
    assert landed is not None
    assert (landed.name, landed.demo) == ("Second Works", False), "the one that was worked on last"
    for key in (1, 2, 3):
        plants.archive_plant(Live(store, key), OWNS)
    assert plants.landing(plants.listed(store)) is None


def test_the_address_of_a_plant_names_no_plant_of_another_database(tmp_path: Path) -> None:
    stores = [Store(f"sqlite:///{tmp_path / name}.sqlite3") for name in ("one", "two")]
    first, second = (plants.address_of(store, plants.begin(store, LEADS, "My Works")) for store in stores)
    assert first != second
    assert first.startswith("1-")
    assert second.startswith("1-")


def test_what_a_plant_once_had_is_known(team: Team) -> None:
    plant = team.now().plant
    systems = {**plant.systems, "S50": plant.systems["S50"].model_copy(update={"functions": []})}
    functions = {key: function for key, function in plant.functions.items() if key != "SIF-501"}
    team.change(plant.model_copy(update={"systems": systems, "functions": functions}))
    assert plants.was_once(team.live, "functions", "SIF-501")
    assert not plants.was_once(team.live, "functions", "SIF-999")
