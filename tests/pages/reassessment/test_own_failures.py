"""Re-assessment: what recorded failures say about beta and failure rates, and to whom."""

from __future__ import annotations

import pytest

from checks.access.roles import MEMBER, VIEWER
from checks.reassessment import failure_records
from checks.reassessment.failures import FailureRecord
from tests.checks.reassessment.given import failure
from tests.checks.team import DAY, LEADS, Team
from tests.pages.at_the_screen import as_, press
from tests.pages.shown import Screen, fine, rows, said

HEADING = "### What these failures say about beta and failure rates"
BETAS = "Beta from the failures, beside the beta in use"


def _valves(**fields: object) -> FailureRecord:
    usual = {"on": DAY, "groups": ("esv-301",), "channels": ("channel 1", "channel 2"), "cause_topics": frozenset()}
    return failure(**{**usual, **fields})


def test_a_common_cause_event_stands_beside_the_beta_in_use(team: Team, screen: Screen) -> None:
    failure_records.record_failure(team.live, LEADS, _valves())
    at = fine(as_(screen("again", system="S30"), "TM-1", MEMBER))
    assert HEADING in said(at)
    (row,) = rows(at, BETAS)
    assert (row["Group"], row["Failure events"]) == ("esv-301", "2 channels: 1")
    assert "Too few data: the prior" in row["Reading"]
    assert "questionnaire" in row["Beta in use, of a pair"]
    assert "No failure counts for pt-301" in said(at)
    assert "Without a start of observation, so in no rate" in said(at)
    assert len(at.get("plotly_chart")) == 1


@pytest.mark.usefixtures("team")
def test_without_a_failure_nothing_is_said(screen: Screen) -> None:
    assert HEADING not in said(as_(screen("again", system="S30"), "TM-1", MEMBER))


def test_a_record_that_does_not_count_is_listed_with_the_reason(team: Team, screen: Screen) -> None:
    failure_records.record_failure(team.live, LEADS, _valves(found_by="unwanted-trip"))
    at = fine(as_(screen("again", system="S30"), "TM-1", MEMBER))
    (row,) = rows(at, "Failure records that do not count")
    assert row["Not counted, because"] == "a spurious trip: a safe failure"
    assert not at.get("plotly_chart")


def test_the_weight_of_a_doubtful_event_is_entered_in_the_form(team: Team, screen: Screen) -> None:
    failure_records.record_failure(team.live, LEADS, _valves(cause_explained=None, coupling_named=None))
    (known,) = team.now().records.failures
    at = as_(screen("again", system="S30"), "FA-1", "facilitator")
    at.selectbox(key="f_which").set_value(known.cause.seq).run()
    (weight,) = [box for box in at.number_input if box.label.startswith("Probability of a shared cause")]
    weight.set_value(0.25).run()
    fine(press(at, "Complete this record"))
    (row,) = rows(at, BETAS)
    assert row["Failure events"] == "1 channel: 1.5; 2 channels: 0.25"
    assert team.now().records.failures[0].body.shared_weight == 0.25


def test_redundancy_left_leads_there_for_who_sees_failures(team: Team, screen: Screen) -> None:
    failure_records.record_failure(team.live, LEADS, _valves())
    at = screen("redundancy", function="SIF-301", part="rests")
    for role, count in ((MEMBER, 1), (VIEWER, 0)):
        shown = as_(at, "TM-1", role)
        labels = [link.proto.label for link in shown.get("page_link")]
        assert sum("own failures" in label for label in labels) == count, role
