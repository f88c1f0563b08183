"""Later records: a dissent changed or settled, gaps accepted together, and the text of a failure."""

from __future__ import annotations

import pytest

from checks.access.roles import FACILITATOR, MEMBER, OWNER, Person
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.reassessment import failure_records
from checks.recording import answer_records
from checks.signoff import accepted_gaps
from checks.state.live import Live
from checks.text.faults import Refused
from tests.checks.journal.stored import import_plant
from tests.checks.reassessment.given import demo, failure

ASKED = ("ENV2", "group:ltd-303")
F_1, IE_2 = Person("F-1", frozenset({FACILITATOR})), Person("IE-2", frozenset({MEMBER}))
AO_1 = Person("AO-1", frozenset({OWNER}))


@pytest.fixture
def live() -> Live:
    """The present state of the demo, without its history."""
    store = Store(IN_MEMORY)
    return Live(store, import_plant(store, demo(), by="", writer="setup"))


def dissent(live: Live, value: str) -> None:
    fields = {"value": value, "who": "IE-2", "role": "engineer", "reason": "seen", "settles": "a winter's log"}
    answer_records.record_dissent(live, F_1, ASKED, fields)


def test_a_member_changes_a_dissent_and_it_is_settled_with_evidence(live: Live) -> None:
    dissent(live, "met")
    dissent(live, "partly")
    (stored,) = live.state().records.dissents[ASKED]
    assert (stored.value, stored.closed) == ("partly", "")
    answer_records.close_dissent(live, F_1, ASKED, who="ie-2", shown_by="log of 2025")
    (stored,) = live.state().records.dissents[ASKED]
    assert stored.closed == "log of 2025"
    with pytest.raises(Refused, match="has no open dissent"):
        answer_records.close_dissent(live, F_1, ASKED, who="IE-2", shown_by="again")


def test_gaps_are_accepted_together_or_not_at_all(live: Live) -> None:
    words = {"reason": "waits for the turnaround", "until": "2099-01-01"}
    with pytest.raises(Refused, match="W01 of Z5 is not on the gap list"):
        accepted_gaps.accept_gaps(live, AO_1, [("S30", "Z5", "A01"), ("S30", "Z5", "W01")], **words)
    assert live.state().records.accepted == {}
    accepted_gaps.accept_gaps(live, AO_1, [("S30", "Z5", "A01"), ("S30", "Z5", "L07")], **words)
    assert set(live.state().records.accepted) == {("S30", "Z5", "A01"), ("S30", "Z5", "L07")}
    accepted_gaps.accept_gaps(live, AO_1, [("S30", "Z5", "A01")], reason="looked at again", until="2099-06-01")
    assert live.state().records.accepted["S30", "Z5", "A01"].until == "2099-06-01"
    assert len(accepted_gaps.accept_gaps(live, AO_1, [("S30", "Z5", "D02"), ("S30", "Z5", "D02")], **words)) == 1


def test_what_a_failure_reopens_says_what_failed(live: Live) -> None:
    failure_records.record_failure(live, IE_2, failure())
    (change,) = live.state().records.changes
    assert change.body.what.startswith("Failure: Water in the instrument air; ")
    assert change.body.what.endswith("both valves. A common-cause event: all four parts are met.")
    nobody_knows = failure(
        reference="FR-1", channels=("ESV-301A",), cause="", cause_explained=None, coupling_named=None
    )
    failure_records.record_failure(live, IE_2, nobody_knows)
    assert live.state().records.changes[-1].body.what.startswith("Failure: cause not yet explained. ")
