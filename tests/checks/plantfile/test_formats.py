"""Formats 1 and 2 of the plant file."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from checks.assessment import editions
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.faults import Refused
from tests.checks.given import plain


def text(**changes: Any) -> str:
    return yaml.safe_dump({**plain(), **changes}, sort_keys=False)


def as_2(raw: dict[str, Any]) -> dict[str, Any]:
    """The valid plant in format 2, with all coverages and sources."""
    for group in raw["groups"].values():
        group["proof_test"].setdefault("coverage", 1.0)
        if "stated_beta" in group:
            group["stated_beta"].setdefault("source", "site study")
    return {**raw, "format": 2}


def faults(raw: dict[str, Any]) -> list[str]:
    with pytest.raises(Refused) as refused:
        plant_file.from_text("plant", yaml.safe_dump(raw, sort_keys=False))
    return refused.value.lines()


def test_the_default_exposure_rule_depends_on_the_format() -> None:
    for raw, rule in ((plain(), "graded"), (as_2(plain()), "to-single")):
        raw["conventions"].pop("exposure_rule", None)
        plant = plant_file.from_text("plant", yaml.safe_dump(raw, sort_keys=False))
        assert plant.conventions.exposure_rule == rule
        raw.pop("conventions")
        assert Plant.model_validate(raw).conventions.exposure_rule == rule


def test_each_format_determines_the_editions() -> None:
    first, second = (editions.of_plant(Plant.model_validate(raw)) for raw in (plain(), as_2(plain())))
    assert first.redundancy.about.name == "annex-b edition 1"
    assert second.redundancy.about.name == "annex-b edition 2"
    assert dict(first.chosen_banks)["cyber"] == "edition-1"
    assert dict(second.chosen_banks)["cyber"] == "edition-2"


@pytest.mark.parametrize("rule", ["to-single", "credits"])
def test_format_1_refuses_the_rules_of_format_2(rule: str) -> None:
    raw = plain()
    raw["conventions"]["exposure_rule"] = rule
    (line,) = faults(raw)
    assert "conventions.exposure_rule (line " in line
    assert f"{rule} needs format 2" in line


def test_format_2_requires_each_coverage_and_the_source_of_a_specified_beta() -> None:
    raw = as_2(plain())
    del raw["groups"]["pt-301"]["proof_test"]["coverage"]
    raw["groups"]["con-210"]["stated_beta"]["source"] = " "
    lines = faults(raw)
    assert any("groups.pt-301.proof_test.coverage" in line and "format 2 has no default" in line for line in lines)
    assert any("groups.con-210.stated_beta.source" in line and "requires the source" in line for line in lines)
    assert len(lines) == 2


@pytest.mark.parametrize("number", [0, 3, 1.0, "2", True])
def test_no_other_format_is_read(number: Any) -> None:
    lines = faults({**plain(), "format": number})
    assert any("format" in line and "1 or 2" in line for line in lines)


@pytest.mark.parametrize("raw", [plain(), as_2(plain())], ids=["format 1", "format 2"])
def test_a_written_plant_reads_back_as_the_same_plant(raw: dict[str, Any]) -> None:
    plant = Plant.model_validate(raw)
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant
