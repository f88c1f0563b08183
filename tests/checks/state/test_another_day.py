"""The day can change without an event: then evidence expires, and nothing else changes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from checks.access.roles import MEMBER, Person
from checks.analysis.json_results import outcome
from checks.journal.store import Store
from checks.recording import answer_records
from checks.state.live import Live
from tests.checks.journal.stored import say, statements

OF = "group:pt-301"
FIRST = datetime(2025, 3, 4, 12, tzinfo=UTC)
MEMBER_1 = Person("IE-2", frozenset({MEMBER}))


class Days:
    """A clock that a test moves forward."""

    def __init__(self) -> None:
        self.now = FIRST

    def told(self) -> datetime:
        """The time of the clock."""
        return self.now


def shown(live: Live, question: str, valid_until: str) -> None:
    """Evidence for an answer, up to a day."""
    fields = {
        "kind": "record",
        "identifier": "R-1",
        "shows": "separate routes",
        "strength": 4,
        "valid_until": valid_until,
    }
    answer_records.add_evidence(live, MEMBER_1, (question, OF), fields)


def test_on_the_day_after_its_last_day_evidence_no_longer_speaks(store: Store, key: int) -> None:
    days = Days()
    live = Live(store, key, clock=days.told)
    # 101.5 points of all rows of a sensor, less 9 and 5: 87.5; without the 20 of the test 67.5, below the band from 70.
    for name in live.state().assessment.questioned("pt-301").keys() - {"DIV3", "CMP1"}:
        say(store, key, name, OF, "met", evidence="" if name == "TST1" else "drawing 4")
    shown(live, "TST1", "2025-03-04")
    first = live.state()
    outcome(first.assessment)  # compute everything first, so that a stale cache would show
    days.now += timedelta(days=1)
    second = live.state()
    assert first.assessment.group("pt-301").answers["TST1"].evidence == "R-1"
    assert second.assessment.group("pt-301").answers["TST1"].evidence == ""
    assert outcome(second.assessment) == outcome(Live(store, key, clock=days.told).state().assessment)
    before, after = first.assessment.group("pt-301").beta_band, second.assessment.group("pt-301").beta_band
    assert before is not None
    assert after is not None
    assert after[1] > before[1], "the 20 points of the test rest on nothing any more"


def test_another_day_alone_reads_no_journal_again(store: Store, key: int) -> None:
    days = Days()
    live = Live(store, key, clock=days.told)
    say(store, key, "SEP1", OF, "met")
    first = live.state()
    days.now += timedelta(days=1)
    with statements(store) as sent:
        second = live.state()
    assert sum(statement.startswith("SELECT") for statement in sent) == 1
    assert (second.day, second.version) == (days.now.date(), first.version)
    assert second.assessment is first.assessment, "no evidence that could run out, nothing to compute"


def test_an_answer_of_the_new_day_is_seen_together_with_what_ran_out(store: Store, key: int) -> None:
    days = Days()
    live = Live(store, key, clock=days.told)
    say(store, key, "SEP1", OF, "met")
    shown(live, "SEP1", "2025-03-04")
    live.state()
    days.now += timedelta(days=1)
    say(store, key, "SEP4", OF, "met")
    answers = live.state().assessment.group("pt-301").answers
    assert answers["SEP4"].value == "met"
    assert answers["SEP1"].evidence == ""
