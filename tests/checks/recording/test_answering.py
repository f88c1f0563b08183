"""Every answer is checked before it is stored, whatever the screen has checked."""

from __future__ import annotations

from typing import Any

import pytest

from checks.access.roles import NotAllowed, Person
from checks.journal.store import Store
from checks.recording import answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live
from checks.text.faults import Refused
from tests.checks.given import bare_plant
from tests.checks.journal.stored import answers_after, history, import_plant, say

GOOD = {
    "question": "SEP1",
    "of": "group:pt-301",
    "value": "met",
    "evidence": "drawing 4",
    "note": "",
    "by": "instrument engineer",
    "on": "2025-03-04",
}
TEAM = Person("instrument engineer", frozenset({"team member"}), writer="token")


def places(**fields: Any) -> list[str]:
    """Places of the faults of the good answer with these fields changed."""
    with pytest.raises(Refused) as refused:
        answering.checked(bare_plant(), {**GOOD, **fields})
    return [fault.place for fault in refused.value.faults]


def test_a_valid_answer_is_accepted_unchanged() -> None:
    assert answering.checked(bare_plant(), dict(GOOD)).model_dump() == GOOD


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("question", "NOPE"),
        ("of", "group:nope"),
        ("of", "zone:sis"),
        ("of", "plant"),
        ("of", "device:PT"),
        ("of", ""),
        ("value", "yes"),
        ("value", ""),
        ("value", None),
        ("evidence", "x" * 2001),
        ("note", "x" * 2001),
        ("by", "x" * 201),
        ("on", "4 March"),
        ("on", "2025-02-30"),
        ("rating", "5"),
    ],
)
def test_each_invalid_field_is_named(field: str, value: Any) -> None:
    assert places(**{field: value}) == [field]


@pytest.mark.parametrize("value", ["equivalent", "not-applicable"])
@pytest.mark.parametrize("note", ["", "   ", "\n\t"])
def test_a_value_that_needs_a_reason_is_refused_without_one(value: str, note: str) -> None:
    assert places(value=value, note=note) == ["note"]
    assert answering.checked(bare_plant(), {**GOOD, "value": value, "note": "as good"}).value == value


def test_every_fault_of_an_answer_is_listed_together() -> None:
    assert sorted(places(question="NOPE", of="group:nope", value="equivalent")) == ["note", "of", "question"]


def test_what_is_refused_is_not_stored(store: Store, key: int) -> None:
    live = Live(store, key)
    with pytest.raises(Refused):
        answering.record(live, TEAM, {**GOOD, "value": "equivalent"}, seen=0)
    assert answers_after(store, key, 0) == []


def test_what_is_recorded_is_in_the_store_with_its_writer(store: Store, key: int) -> None:
    stored = answering.record(Live(store, key), TEAM, dict(GOOD), seen=0)
    assert history(store, key, "SEP1", "group:pt-301") == [stored]
    assert (stored.writer, stored.answer.model_dump()) == ("token", GOOD)


def test_an_answer_that_follows_an_unseen_one_is_not_recorded(store: Store, key: int) -> None:
    live = Live(store, key)
    other = say(store, key, "SEP1", "group:pt-301", "not-met")
    with pytest.raises(AnsweredMeanwhile):
        answering.record(live, TEAM, dict(GOOD), seen=0)
    assert history(store, key, "SEP1", "group:pt-301") == [other]


def test_a_group_removed_meanwhile_is_no_longer_an_addressee(store: Store, key: int) -> None:
    live = Live(store, key)
    live.state()
    raw = bare_plant().model_dump(mode="json")
    raw["functions"]["SIF-401"]["groups"] = ["ls-sis"]
    del raw["groups"]["tt-401"]
    import_plant(store, type(bare_plant()).model_validate(raw), by="", writer="w")
    with pytest.raises(Refused):
        answering.record(live, TEAM, {**GOOD, "of": "group:tt-401"}, seen=0)


def test_only_a_team_member_answers(store: Store, key: int) -> None:
    viewer = Person("site manager", frozenset({"viewer"}))
    with pytest.raises(NotAllowed, match="to answer a question needs the role team member; site manager acts"):
        answering.record(Live(store, key), viewer, dict(GOOD), seen=0)
    assert answers_after(store, key, 0) == []


def test_an_answer_carries_the_name_of_the_person_and_not_another(store: Store, key: int) -> None:
    stored = answering.record(Live(store, key), TEAM, {**GOOD, "by": "somebody else"}, seen=0)
    assert stored.answer.by == "instrument engineer"
    (event,) = store.events(key, kinds=("answer",))
    assert (event.by, event.identity) == ("instrument engineer", "self-declared")
