"""What a failure reopens: the changes that it causes, and the answers that they reach."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.assessment.answers import Answers
from checks.reassessment.failures import CYBER_TOPICS, FailureRecord, changes, cyber_question
from checks.reassessment.kinds_of_change import kinds
from checks.reassessment.reopening import Reopened, reopened, topics_of
from tests.checks.reassessment.given import SINGLE, by_addressee, demo, failure, mismatch

known_or_not = st.sampled_from([True, False, None])


def _reopened(record: FailureRecord) -> Reopened:
    answers = Answers(demo().answers)
    return frozenset().union(*(reopened(change, demo(), answers) for change in changes(record)))


def test_wet_air_reopens_bypasses_supplies_and_the_analysis_of_failures_and_no_more() -> None:
    """FR-24-019: T9 and T11 as named, T4 of the kind; the explained cause shows that software was not involved."""
    assert [change.kind for change in changes(failure())] == ["several-channels-failed"]
    assert by_addressee(_reopened(failure())) == {
        "group:esv-301": {"CPX5", "CPX6"},
        "system:S30": {"ASM1", "ASM2"},
        "zone:Z5": {"L09", "L10"},
        "plant": {"ASM3", "PRO1", "P06"},
    }


def test_the_unexplained_mismatch_reopens_records_and_programs_as_a_possible_intrusion() -> None:
    """FR-24-003: reopened at the third review on T10 and FR6, with the finding that no records were kept."""
    (change,) = changes(mismatch())
    assert "possible intrusion" in kinds()[change.kind].caution
    assert topics_of(change) == {"T9", "T10", "FR3", "FR6"}
    answers = by_addressee(_reopened(mismatch()))
    assert {"D01", "D02", "L01", "L06", "L07"} <= answers["zone:Z5"]
    assert set(answers) == {"group:ls-sis", "zone:Z5", "plant"}
    assert not {"TST1", "SEP1", "DIV1"} & answers["group:ls-sis"]


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, []),
        ({"channels": ("A", "B")}, ["several-channels-failed"]),
        ({"software_involved": True}, ["several-channels-failed"]),
        ({"cause_explained": False}, ["unexplained-event"]),
        ({"cause_explained": None, "channels": ("A", "B")}, ["several-channels-failed", "unexplained-event"]),
        ({"found_by": "unwanted-trip"}, ["unexplained-event"]),
        ({"found_by": "mode-change"}, []),
        ({"found_by": "demand"}, ["real-demand"]),
        ({"found_by": "demand", "channels": ("A", "B")}, ["several-channels-failed", "real-demand"]),
    ],
)
def test_a_failure_causes_these_kinds_of_change(fields: dict[str, Any], expected: list[str]) -> None:
    amounts = changes(failure(**{**SINGLE, **fields}))
    assert [change.kind for change in amounts] == expected
    assert all(change.touched == {"group:esv-301"} for change in amounts)


def test_a_second_failure_of_a_group_counts_like_several_channels() -> None:
    before = failure(**SINGLE, reference="FR-23-001", on=date(2023, 1, 9))
    assert [change.kind for change in changes(failure(**SINGLE), earlier=[before])] == ["several-channels-failed"]


@given(known_or_not, known_or_not)
def test_the_cyber_topics_are_left_out_only_for_an_explained_cause_without_software(
    explained: bool | None,  # noqa: FBT001
    software: bool | None,  # noqa: FBT001
) -> None:
    record = failure(cause_explained=explained, software_involved=software)
    about = frozenset().union(*(topics_of(change) for change in changes(record)))
    assert (about >= CYBER_TOPICS) == (not (explained is True and software is False))


@given(known_or_not, st.booleans())
def test_every_failure_with_the_cyber_question_reopens_an_answer(explained: bool | None, several: bool) -> None:  # noqa: FBT001
    channels = ("A", "B") if several else ("A",)
    record = failure(**{**SINGLE, "channels": channels, "cause_explained": explained})
    assert bool(changes(record)) == (cyber_question(record, demo()) is not None)
