"""A journal copied whole from another store, several events at once, and the origin of an import."""

from __future__ import annotations

import pytest

from checks.access.roles import MEMBER, Person
from checks.journal.append import Entry
from checks.journal.errors import Overtaken
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.recording import plant_import
from tests.checks.given import bare_plant, plain, valid_plant
from tests.checks.journal.stored import import_plant, say


def test_a_journal_taken_over_is_the_same_event_by_event_under_the_same_last_hash(store: Store) -> None:
    other = Store(IN_MEMORY)
    theirs = import_plant(other, valid_plant(), by="A", writer="w")
    say(other, theirs, "SEP1", "group:pt-301", "not-met")
    import_plant(store, Plant.model_validate({**plain(), "plant": {"name": "Another plant"}}), by="", writer="w")
    ours = store.take_over(other, theirs)
    assert ours != theirs
    assert store.verify(ours) == other.verify(theirs)
    assert store.events(ours) == other.events(theirs)
    say(store, ours, "SEP1", "group:pt-301", "met")
    assert store.verify(ours)[0] == other.verify(theirs)[0] + 1


def test_a_plant_that_is_here_already_stays_as_it_is(store: Store, key: int) -> None:
    other = Store(IN_MEMORY)
    import_plant(other, valid_plant(), by="A", writer="w")
    before = store.verify(key)
    assert store.take_over(other, 1) == key
    assert store.verify(key) == before


def test_of_several_events_all_are_stored_or_none(store: Store, key: int) -> None:
    first = store.record(key, Entry("gap-accepted", {"n": 1}, "A", slot="one"))
    before = store.verify(key)
    with pytest.raises(Overtaken) as caught:
        store.record(key, Entry("gap-accepted", {"n": 2}, "B", slot="two"), Entry("gap-accepted", {}, "B", slot="one"))
    assert caught.value.theirs == first[0]
    assert store.verify(key) == before
    both = store.record(key, Entry("gap-accepted", {}, "B", slot="two"), Entry("gap-accepted", {}, "B", slot="three"))
    assert [event.seq for event in both] == [before[0] + 1, before[0] + 2]


def test_an_import_says_who_how_the_name_is_known_and_when_it_was(store: Store) -> None:
    person = Person("TM-1", frozenset({MEMBER}), "signed in", "w")
    moment = "2021-03-12T12:00:00.000+00:00"
    key = plant_import.import_plant(store, person, valid_plant(), at=moment)
    events = store.events(key)
    assert len(events) > 1
    assert {(event.by, event.identity, event.writer, event.at) for event in events} == {
        ("TM-1", "signed in", "w", moment)
    }
    plant_import.import_plant(store, person, bare_plant(voting_factor="pds-2013"))
    assert store.events(key)[-1].at > "2026", "without a moment it is the present one"
