"""Completed failure records: nothing is overwritten, and only further answers are reopened."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError

from checks.journal.errors import Overtaken
from checks.reassessment import confirmations, failure_records
from checks.reassessment.failures import FailureRecord
from checks.record_files import record_file, verification
from checks.state.reopened import Failed
from checks.text.faults import Refused
from tests.checks.reassessment.given import failure
from tests.checks.team import ANSWERS, LEADS, Team

NO_CHANGE = """
CREATE TRIGGER no_change BEFORE INSERT ON event WHEN NEW.kind = 'change'
BEGIN SELECT RAISE(ABORT, 'no room for it'); END
"""
"""Makes the second event of a failure fail."""


def _one_valve(**fields: Any) -> FailureRecord:
    """One of two valves failed at its test; the cause is clear."""
    return failure(channels=("ESV-301A",), period_h=None, cause_topics=frozenset(), **fields)


def _recorded(team: Team, record: FailureRecord) -> int:
    return failure_records.record_failure(team.live, ANSWERS, record)[0].seq


def _held(team: Team) -> Failed:
    (failed,) = team.now().records.failures
    return failed


def test_a_completed_record_says_what_was_checked_and_the_journal_keeps_both(team: Team) -> None:
    first = _recorded(team, _one_valve())
    completed = replace(_one_valve(), looked_at="log of the workstation, 2 weeks, by OT-2: no download")
    failure_records.record_failure(team.live, LEADS, completed, completes=_held(team))
    (failed,) = team.now().records.failures
    assert failed.body.looked_at == completed.looked_at
    assert (failed.cause.seq, failed.cause.by) == (first, "TM-1"), "it stays the failure that was recorded then"
    assert [event.by for event in team.store.events(1, kinds=("failure",))] == ["TM-1", "FA-1"]
    assert failure_records.failure_of(failed.body) == completed


def test_a_completed_failure_reopens_only_further_answers(team: Team) -> None:
    _recorded(team, _one_valve())
    assert team.now().records.to_confirm == {}, "a single explained failure found by a test"
    both = replace(_one_valve(), channels=("ESV-301A", "ESV-301B"), period_h=0.0, cause_topics=frozenset({"T1"}))
    failure_records.record_failure(team.live, ANSWERS, both, completes=_held(team))
    (failed,) = team.now().records.failures
    assert failed.body.is_event is True
    assert [change.body.kind for change in team.now().records.changes] == ["several-channels-failed"]


def test_an_answer_confirmed_since_is_not_reopened_by_the_same_record(team: Team) -> None:
    unexplained = failure(groups=("ls-sis",), channels=("LS",), cause="", cause_explained=None, coupling_named=None)
    _recorded(team, unexplained)
    waiting = team.now().records.to_confirm
    assert waiting
    for asked in waiting:
        confirmations.confirm_answers(team.live, ANSWERS, [asked])
    completed = replace(unexplained, looked_at="every log")
    assert [
        event.kind for event in failure_records.record_failure(team.live, ANSWERS, completed, completes=_held(team))
    ] == ["failure"]
    assert team.now().records.to_confirm == {}


def test_a_failure_and_what_it_reopens_are_stored_together_or_not_at_all(team: Team) -> None:
    unexplained = failure(groups=("ls-sis",), channels=("LS",), cause="", cause_explained=None, coupling_named=None)
    with team.store.engine.begin() as connection:
        connection.exec_driver_sql(NO_CHANGE)
    count = team.count()
    with pytest.raises(IntegrityError, match="no room for it"):
        failure_records.record_failure(team.live, ANSWERS, unexplained)
    assert team.count() == count
    with team.store.engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER no_change")
    assert [event.kind for event in failure_records.record_failure(team.live, ANSWERS, unexplained)] == [
        "failure",
        "change",
    ]


def test_a_completion_of_a_failure_completed_meanwhile_is_refused(team: Team) -> None:
    _recorded(team, _one_valve())
    shown = _held(team)
    failure_records.record_failure(team.live, LEADS, replace(_one_valve(), looked_at="one log"), completes=shown)
    count = team.count()
    with pytest.raises(Overtaken, match=r"^FA-1 was first, at "):
        failure_records.record_failure(team.live, ANSWERS, replace(_one_valve(), looked_at="another"), completes=shown)
    assert team.count() == count
    failure_records.record_failure(team.live, ANSWERS, replace(_one_valve(), looked_at="both"), completes=_held(team))
    assert _held(team).body.looked_at == "both"


@pytest.mark.parametrize(
    ("number", "fields", "why"),
    [
        (1, {}, "completes: no failure of this plant; choose one of the list"),
        (None, {"groups": ("ls-sis",)}, "not those of the record; record another failure for another group"),
        (None, {"looked_at": "x" * 2001}, "looked_at: 2001 characters; at most 2000"),
    ],
)
def test_an_invalid_completion_is_refused(team: Team, number: int | None, fields: dict[str, Any], why: str) -> None:
    _recorded(team, _one_valve())
    count = team.count()
    with pytest.raises(Refused, match=why):
        failure_records.record_failure(
            team.live,
            ANSWERS,
            replace(_one_valve(), **fields),
            completes=replace(_held(team), cause=replace(_held(team).cause, seq=number or _held(team).cause.seq)),
        )
    assert team.count() == count


def test_a_completed_failure_stands_in_the_record_of_its_system_and_verifies(team: Team) -> None:
    first = _recorded(team, _one_valve())
    failure_records.record_failure(
        team.live, ANSWERS, replace(_one_valve(), looked_at="one log"), completes=_held(team)
    )
    record = record_file.from_text("record", team.export(team.put_up()))
    assert list(verification.verify(record))
    bodies = [event.content for event in record.events if event.kind == "failure" and event.body]
    assert [body.get("completes") for body in bodies] == [None, first]


def test_a_failure_completed_after_the_plant_changed_still_verifies_in_every_record(team: Team) -> None:
    """The group now also serves S30; it did not when the first event was recorded."""
    only_s40 = failure(groups=("tt-401",), channels=("TT-401A",))
    _recorded(team, only_s40)
    assert _held(team).body.systems == ("S40",)
    plant = team.now().plant
    first = plant.functions["SIF-301"]
    shared = first.model_copy(update={"groups": [*first.groups, "tt-401"]})
    team.change(plant.model_copy(update={"functions": {**plant.functions, "SIF-301": shared}, "answers": []}))
    failure_records.record_failure(team.live, ANSWERS, replace(only_s40, looked_at="every log"), completes=_held(team))
    assert _held(team).body.systems == ("S40",)
    for system in ("S30", "S40"):
        record = record_file.from_text("record", team.export(team.put_up(system)))
        assert list(verification.verify(record))
