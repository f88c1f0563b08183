"""Which recorded failures count, with which weight, and how the new fields of a record are kept."""

from __future__ import annotations

import json
from dataclasses import replace
from math import nan
from typing import Any

import pytest

from checks.reassessment import failure_records
from checks.reassessment.failure_counts import failure_counts
from checks.text.faults import Refused
from tests.checks.reassessment.given import failure
from tests.checks.reassessment.own import failed, history
from tests.checks.team import LEADS, Team
from tests.golden.every_kind import FAILURE

BOTH = ("ESV-501A", "ESV-501B")


def test_a_common_cause_event_of_a_pair_counts_once_at_two() -> None:
    counts = failure_counts(history([failed("esv-501", *BOTH)]), "esv-501")
    assert counts.by_multiplicity == {2: 1.0}


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"is_event": False}, {1: 2.0}),
        ({"is_event": False, "shared_weight": 0.9}, {1: 2.0}),  # the verdict is against it
        ({"is_event": None}, {2: 1.0}),  # undecided: in full
        ({"is_event": None, "shared_weight": 0.25}, {1: 1.5, 2: 0.25}),
        ({"is_event": True, "shared_weight": 0.0}, {1: 2.0}),
    ],
)
def test_a_doubtful_event_counts_by_its_weight(fields: dict[str, Any], expected: dict[int, float]) -> None:
    counts = failure_counts(history([failed("esv-501", *BOTH, **fields)]), "esv-501")
    assert counts.by_multiplicity == expected


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"found_by": "self-test"}, "detected"),
        ({"found_by": "unwanted-trip"}, "safe failure"),
        ({"found_by": "mode-change"}, "not known to be a dangerous failure"),
        ({"found_by": "other"}, "another way"),
        ({"inside_boundary": False}, "outside the group"),
        ({"channels": ()}, "no failed channel is named"),
        ({"channels": ("a", "b", "c")}, "3 channels failed but the group has 2"),
        ({"groups": ("esv-501", "esv-301"), "channels": ("channel 1",)}, "record a failure for each group"),
    ],
)
def test_what_does_not_count_is_listed_with_its_reason(fields: dict[str, Any], reason: str) -> None:
    counts = failure_counts(history([failed("esv-501", **fields)]), "esv-501")
    assert counts.counted == ()
    (entry,) = counts.left_out
    assert reason in entry.reason


def test_one_record_of_two_groups_counts_in_each_by_the_names_of_its_channels() -> None:
    both = failed(
        "esv-501", groups=("esv-501", "esv-301"), channels=("ESV-501A", "ESV-301A", "ESV-301B"), is_event=True
    )
    assert failure_counts(history([both]), "esv-501").by_multiplicity == {1: 1.0}
    assert failure_counts(history([both]), "esv-301").by_multiplicity == {2: 1.0}


def test_the_number_that_could_have_failed_is_that_of_the_record_where_it_says_so() -> None:
    (counted,) = failure_counts(history([failed("esv-501", *BOTH, channels_at_risk=4)]), "esv-501").counted
    assert counted.impact == (0.0, 1.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("fields", "place"),
    [
        ({"channels_at_risk": 1}, "channels_at_risk"),  # two failed
        ({"channels_at_risk": 101}, "channels_at_risk"),
        ({"shared_weight": 1.01}, "shared_weight"),
        ({"shared_weight": nan}, "shared_weight"),
    ],
)
def test_a_record_that_cannot_be_is_refused(fields: dict[str, Any], place: str) -> None:
    with pytest.raises(Refused) as refused:
        failure(**fields)
    assert [fault.place for fault in refused.value.faults] == [place]


def test_what_was_not_given_is_not_written_and_what_was_given_is_read_again(team: Team) -> None:
    failure_records.record_failure(team.live, LEADS, FAILURE)
    (known,) = team.now().records.failures
    assert not {"channels_at_risk", "shared_weight", "staggered_tests"} & set(known.body.data())
    more = replace(FAILURE, channels_at_risk=3, shared_weight=0.5, staggered_tests=False)
    failure_records.record_failure(team.live, LEADS, more, completes=known)
    (completed,) = team.now().records.failures
    assert failure_records.failure_of(completed.body) == more
    assert json.loads(team.store.events(team.live.key)[completed.last - 1].body)["shared_weight"] == 0.5
