"""Notes on plant data that are allowed but unlikely."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.plant_tables.plausibility import notes
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from demo.load import PLANT
from tests.checks.given import plain_2

Change = Callable[[dict[str, Any]], object]


def _noted(change: Change) -> list[tuple[str, str, str, str]]:
    raw = plain_2()
    change(raw)
    found = notes(Assessment(Plant.model_validate(raw)))
    return [(note.sheet, note.id, note.key, note.text) for note in found]


@pytest.mark.parametrize(
    ("change", "place", "words"),
    [
        (lambda raw: raw["devices"]["PT"].update(lambda_du_fit=0.4), ("Devices", "PT", "lambda_du_fit"), "it is 400"),
        (
            lambda raw: raw["groups"]["pt"]["proof_test"].update(interval_h=60),
            ("Groups", "pt", "proof_test.interval_h"),
            "were months or weeks meant",
        ),
        (lambda raw: raw["groups"]["esv"]["tests"][1].update(interval_h=72), ("Tests", "esv", "interval_h"), "72 h"),
        (lambda raw: raw["groups"]["cpu"], ("Groups", "cpu", "proof_test.coverage"), "few tests do"),
        (
            lambda raw: raw["devices"]["CPU"].update(lambda_du_fit=3000),
            ("Groups", "cpu", "diagnostic_interval_h"),
            "stay undetected",
        ),
        (
            lambda raw: raw["groups"]["ft"]["stated_beta"].update(beta=0.005),
            ("Groups", "ft", "stated_beta.beta"),
            "below 1 %",
        ),
        (
            lambda raw: raw["functions"]["SIF-2"]["groups"].pop(0),
            ("Groups", "ft", "id"),
            "no function uses this group",
        ),
        (
            lambda raw: (
                raw["functions"]["SIF-1"].update(groups=["ls"]) or raw["groups"]["ls"]["stated_result"].update(pfd=1e-6)
            ),
            ("Functions", "SIF-1", "groups"),
            "better than 10,000",
        ),
        (
            lambda raw: (
                raw["functions"]["SIF-3"].update(groups=["ls"]) or raw["groups"]["ls"]["stated_result"].update(pfh=1e-9)
            ),
            ("Functions", "SIF-3", "groups"),
            "better than 1e-8/h",
        ),
    ],
)
def test_what_is_unlikely_is_noted_at_its_cell(change: Change, place: tuple[str, str, str], words: str) -> None:
    assert any(note[:3] == place and words in note[3] for note in _noted(change)), _noted(change)


def test_the_demo_has_few_notes_and_none_of_them_refuses_anything() -> None:
    found = notes(Assessment(plant_file.read(PLANT)))
    assert {note.key for note in found} <= {"proof_test.coverage", "id", "diagnostic_interval_h"}
