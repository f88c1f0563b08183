"""Dates that somebody enters: one range for typed ones and those of a plant file, and none for stored ones."""

from __future__ import annotations

import pytest

from checks.plantfile import plant_file
from checks.recording.field_checks import day_faults
from checks.text.faults import Refused
from tests.checks.given import VALID


@pytest.mark.parametrize("day", ["1950-01-01", "2024-02-29", "2100-12-31"])
def test_a_day_of_the_range_is_taken(day: str) -> None:
    assert not day_faults("on", day)


@pytest.mark.parametrize(
    "day", ["0001-01-01", "0225-03-04", "1949-12-31", "2101-01-01", "2999-01-01", "20250304", "", "x"]
)
def test_another_day_is_refused_with_what_is_allowed(day: str) -> None:
    (fault,) = day_faults("on", day)
    assert str(fault) == f"on: found {day!r}; write a date as 2025-03-04, from 1950 to 2100"


def test_what_was_stored_before_there_was_a_range_is_read() -> None:
    plant = plant_file.read(VALID)
    old = plant.model_copy(
        update={
            "plant": plant.plant.model_copy(update={"name": " "}),
            "answers": [answer.model_copy(update={"on": "0001-03-04"}) for answer in plant.answers],
        }
    )
    text = plant_file.to_text(old)
    assert plant_file.from_text("event 1", text) == old
    with pytest.raises(Refused, match="a blank name"):
        plant_file.from_bytes("plant.yaml", text.encode())
