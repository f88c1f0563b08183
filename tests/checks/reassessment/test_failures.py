"""Whether a failure is a common-cause event, when the cyber question is asked, and which records are refused.

Source of the four parts: US Nuclear Regulatory Commission, Administrative Letter 98-04, 30 July 1998 (read): two or
more components fail or are degraded; within a period such that success would be uncertain; from a single shared cause
and coupling mechanism; within the component boundary. How a record decides each part is a house rule.
"""

from __future__ import annotations

from datetime import date
from math import inf, nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.plantfile.plant import Plant
from checks.reassessment.failures import FailureRecord, cyber_question, verdict
from checks.text.faults import Refused
from tests.checks.given import valid_plant
from tests.checks.reassessment.given import SINGLE, demo, failure, mismatch

WORDS = {True: "Met: ", False: "Not met: ", None: "Not known: "}
known_or_not = st.sampled_from([True, False, None])


def _met(record: FailureRecord, plant: Plant | None = None) -> list[bool | None]:
    return [part.met for part in verdict(record, plant or demo()).parts]


# ---- The four parts --------------------------------------------------------------------------------


def test_wet_air_in_both_hydrogen_valves_is_a_common_cause_event() -> None:
    """FR-24-019 of the demo: event C-01."""
    judgement = verdict(failure(), demo())
    assert [part.met for part in judgement.parts] == [True] * 4
    assert judgement.is_event is True
    assert judgement.sentence == "A common-cause event: all four parts are met."


def test_a_processor_mismatch_closed_without_looking_further_is_left_open() -> None:
    judgement = verdict(mismatch(), demo())
    assert [part.met for part in judgement.parts] == [None] * 4
    assert judgement.is_event is None
    assert "until the unknown points are clarified" in judgement.sentence


@pytest.mark.parametrize(
    ("fields", "part", "met"),
    [
        ({"channels": ("ESV-301A",)}, 0, None),
        ({"channels": ("ESV-301A", "ESV-301A")}, 0, None),
        ({"channels": ("ESV-301A",), "others_checked": True}, 0, False),
        ({"channels": (), "others_checked": True}, 0, False),
        ({"channels": ()}, 0, None),
        ({"groups": ("xv-401",), "channels": ("XV-401",)}, 0, False),
        ({"groups": ("xv-401", "xv-401"), "channels": ("XV-401",)}, 0, False),
        ({"groups": ("xv-401", "esv-701"), "channels": ("XV-401",)}, 0, None),
        ({"period_h": 8760.0}, 1, True),
        ({"period_h": 8761.0}, 1, None),
        ({"period_h": 87600.0}, 1, None),
        ({"period_h": 87601.0}, 1, False),
        ({"period_h": 10000.0, "groups": ("esv-301", "con-303")}, 1, True),
        ({"period_h": 20000.0, "groups": ("esv-301", "con-303")}, 1, None),
        ({"period_h": 17520.0, "groups": ("con-303",)}, 1, True),
        ({"period_h": 17521.0, "groups": ("con-303",)}, 1, False),
        ({"period_h": None}, 1, None),
        ({"cause_explained": False}, 2, None),
        ({"cause_explained": None}, 2, None),
        ({"coupling_named": None}, 2, None),
        ({"coupling_named": False}, 2, False),
        ({"cause_explained": None, "coupling_named": False}, 2, False),
        ({"inside_boundary": False}, 3, False),
        ({"inside_boundary": None}, 3, None),
    ],
)
def test_each_part_is_met_not_met_or_not_known(fields: dict[str, Any], part: int, met: bool | None) -> None:  # noqa: FBT001
    """esv-301 has two channels, tested yearly at 90 % and overhauled after ten years; con-303 every two years in full."""
    parts = _met(failure(**fields))
    assert parts[part] is met
    assert [other for index, other in enumerate(parts) if index != part] == [True] * 3


def test_a_test_that_finds_everything_leaves_nothing_for_the_overhaul() -> None:
    """In the valid file pt-301 has coverage 1.0 and still an overhaul interval of ten years."""
    record = failure(groups=("pt-301",), channels=("PT-301A", "PT-301B"), period_h=8761.0)
    assert _met(record, valid_plant())[1] is False


@given(known_or_not, known_or_not, known_or_not, st.booleans())
def test_one_part_not_met_decides_and_one_not_known_leaves_it_open(
    period: bool | None,  # noqa: FBT001
    coupling: bool | None,  # noqa: FBT001
    boundary: bool | None,  # noqa: FBT001
    several: bool,  # noqa: FBT001
) -> None:
    hours = {True: 1.0, False: 1e6, None: None}[period]
    channels = ("A", "B") if several else ("A",)
    record = failure(
        period_h=hours, coupling_named=coupling, inside_boundary=boundary, channels=channels, others_checked=True
    )
    parts = [several, period, coupling, boundary]
    assert _met(record) == parts
    assert verdict(record, demo()).is_event is (False if False in parts else None if None in parts else True)


@given(known_or_not, known_or_not, known_or_not, st.sampled_from([None, 0.0, 9000.0, 1e6]), st.integers(0, 3))
def test_every_part_says_first_what_it_is(
    explained: bool | None,  # noqa: FBT001
    coupling: bool | None,  # noqa: FBT001
    boundary: bool | None,  # noqa: FBT001
    period: float | None,
    channels: int,
) -> None:
    record = failure(
        cause_explained=explained,
        coupling_named=coupling,
        inside_boundary=boundary,
        period_h=period,
        channels=tuple(f"ESV-{number}" for number in range(channels)),
    )
    for part in verdict(record, demo()).parts:
        assert part.sentence.startswith(WORDS[part.met])
        assert part.sentence.endswith(".")


# ---- The cyber question ----------------------------------------------------------------------------


def _asked(record: FailureRecord, *earlier: FailureRecord) -> tuple[str, ...]:
    question = cyber_question(record, demo(), earlier=earlier)
    return question.reasons if question else ()


def test_a_single_explained_failure_raises_no_cyber_question() -> None:
    assert cyber_question(failure(**SINGLE), demo()) is None


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"cause_explained": False}, "A failure has no explained cause."),
        ({"cause_explained": None}, "A failure has no explained cause."),
        (
            {"cause_explained": None, "groups": ("ls-sis",)},
            "A fault or change of mode of the logic solver has no explained cause.",
        ),
        (
            {"cause_explained": False, "found_by": "mode-change"},
            "A fault or change of mode of the logic solver has no explained cause.",
        ),
        ({"channels": ("ESV-301A", "ESV-301B")}, "More than one channel failed or was degraded."),
    ],
)
def test_what_is_unexplained_or_in_several_channels_asks_the_cyber_question(
    fields: dict[str, Any], reason: str
) -> None:
    assert _asked(failure(**{**SINGLE, **fields})) == (reason,)


def test_a_group_that_fails_again_asks_the_cyber_question() -> None:
    before = failure(**SINGLE, reference="FR-23-001", on=date(2023, 1, 9))
    assert _asked(failure(**SINGLE), before) == ("The same group failed before.",)


@pytest.mark.parametrize(
    "other",
    [
        failure(**SINGLE),
        failure(**SINGLE, reference="FR-23-001", groups=("esv-501",)),
        failure(**SINGLE, reference="FR-25-001", on=date(2025, 1, 9)),
    ],
    ids=["itself", "of another group", "later"],
)
def test_the_record_itself_another_group_and_a_later_failure_are_no_repetition(other: FailureRecord) -> None:
    assert _asked(failure(**SINGLE), other) == ()


def test_every_reason_is_given_and_the_question_says_what_to_check() -> None:
    question = cyber_question(mismatch(channels=("LS-1A", "LS-1B")), demo(), earlier=[mismatch(reference="FR-23-9")])
    assert question is not None
    assert len(question.reasons) == 3
    assert question.text.endswith("?")
    assert question.topics == {"FR3", "FR6", "T10"}


# ---- What is refused -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "line"),
    [
        ({"groups": ()}, "groups: none; name the group or groups that it happened in"),
        ({"period_h": -1.0}, "period_h: -1.0; hours from 0 up, or leave it out where not known"),
        ({"period_h": nan}, "period_h: nan; hours from 0 up, or leave it out where not known"),
        ({"period_h": inf}, "period_h: inf; hours from 0 up, or leave it out where not known"),
        ({"cause": " "}, "cause: missing; write the cause, or say that it is not explained"),
        ({"cause_topics": frozenset({"T99"})}, "cause_topics: T99 is no topic; any of: T1, T2, "),
    ],
)
def test_an_invalid_record_is_refused_with_its_reference(fields: dict[str, Any], line: str) -> None:
    with pytest.raises(Refused) as refused:
        failure(**fields)
    (found,) = refused.value.lines()
    assert found.startswith(f"FR-24-019: {line}")


def test_every_fault_of_a_record_is_listed_together() -> None:
    with pytest.raises(Refused) as refused:
        failure(groups=(), period_h=-1.0, cause="", cause_topics=frozenset({"X"}), reference="")
    assert len(refused.value.faults) == 4
    assert all(line.startswith("failure record: ") for line in refused.value.lines())


def test_a_group_that_the_plant_does_not_have_is_refused() -> None:
    for rule in (verdict, cyber_question):
        with pytest.raises(Refused, match="FR-24-019: touched: group:esv-999 does not exist"):
            rule(failure(groups=("esv-999",)), demo())
