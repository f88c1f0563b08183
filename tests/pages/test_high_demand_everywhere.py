"""A plant whose only function is in high demand: no screen and no paper speaks of RRF or PFD, and each shows its PFH."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from checks.__main__ import main
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.number_format import measure
from demo.load import PLANT
from tests.pages.shown import SCREENS, Holding, Screen, fine, said, unescaped
from tests.rule import Rule

FUNCTION = "SIF-210"
OF_LOW_DEMAND = re.compile(r"\bRRF\b|\bPFD(avg)?\b|risk reduction factor")
SAID_OF_ALL = re.compile(
    r"PFD and PFH: IEC[^.;]*|A result of PFD or PFH alone[^.]*\.|PFDavg and PFH|PFDavg or PFH|PFD or PFH|RRF or (a )?PFH|RRF or 1/PFH"
)
"""Names of methods and cautions that hold for both modes."""


def high_demand_only() -> Plant:
    """The interlock of the demo alone."""
    plant = plant_file.read(PLANT)
    groups = {key: plant.groups[key] for key in plant.functions[FUNCTION].group_ids}
    asked = {"plant", "system:S20", *(f"group:{key}" for key in groups), "zone:Z5"}
    return plant.model_copy(
        update={
            "functions": {FUNCTION: plant.functions[FUNCTION]},
            "systems": {"S20": plant.systems["S20"]},
            "groups": groups,
            "answers": [answer for answer in plant.answers if answer.of in asked],
        }
    )


def of_low_demand(text: str) -> list[str]:
    """Words of low demand in a text, each with what stands around it."""
    rest = SAID_OF_ALL.sub("", text)
    return [rest[max(0, found.start() - 60) : found.end() + 60] for found in OF_LOW_DEMAND.finditer(rest)]


def test_no_screen_speaks_of_low_demand(holding: Holding, screen: Screen) -> None:
    holding(high_demand_only())
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                at = fine(screen(url_path))
                charts = json.dumps([json.loads(chart.proto.spec) for chart in at.get("plotly_chart")])
                assert of_low_demand(unescaped(said(at)) + charts) == []
