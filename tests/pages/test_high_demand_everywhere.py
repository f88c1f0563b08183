"""A plant whose only function is in high demand: no screen and no paper speaks of RRF or PFD, and each shows its PFH."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from checks.__main__ import main
from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.number_format import measure
from demo.load import PLANT
from pages.results.redundancy_left import PARTS
from tests.pages.reports.read import annex, report, text
from tests.pages.reports.recorded import Keeping
from tests.pages.shown import SCREENS, Holding, Screen, fine, said, unescaped
from tests.rule import Rule

FUNCTION = "SIF-210"
OF_LOW_DEMAND = re.compile(r"\bRRF\b|\bPFD(avg)?\b|risk reduction factor")
SAID_OF_ALL = re.compile(
    r"1oo2D: [^•]*PFD = |PFD and PFH: IEC[^.;]*|A result of PFD or PFH alone[^.]*\.|PFDavg and PFH|PFDavg or PFH|PFD or PFH|RRF or (a )?PFH|RRF or 1/PFH"
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


def all_of(at: AppTest) -> str:
    """Every text of a screen, its tables in HTML and its charts too."""
    charts = [chart.proto.spec for chart in at.get("plotly_chart")]
    return "\n".join((unescaped(said(at)), *(each.proto.body for each in at.get("html")), *charts))


def test_no_screen_speaks_of_low_demand(holding: Holding, screen: Screen) -> None:
    holding(high_demand_only())
    with Rule() as rule:
        for url_path, query in (
            *((url_path, {}) for url_path in SCREENS),
            *(("redundancy", {"part": part}) for part in PARTS),
        ):
            with rule.case((url_path, query)):
                assert of_low_demand(all_of(fine(screen(url_path, **query)))) == []


def test_the_screens_with_results_show_the_pfh(holding: Holding, screen: Screen) -> None:
    plant = high_demand_only()
    holding(plant)
    cases = Assessment(plant).function(FUNCTION).cases
    with Rule() as rule:
        for url_path in ("plant", "redundancy", "cyber"):
            with rule.case(url_path):
                shown = all_of(fine(screen(url_path)))
                assert "PFH" in shown
                assert measure("high", cases.scored) in shown


def test_no_paper_speaks_of_low_demand_and_the_report_has_the_pfh(tmp_path: Path) -> None:
    plant = high_demand_only()
    kept = Keeping(tmp_path, plant)
    kept.put_up("S20")
    record = kept.record("S20")
    papers = {"report": report(record), "annex": annex(record)}
    shown = {name: " ".join(text(paper).split()) for name, paper in papers.items()}
    with Rule() as rule:
        for name, words in shown.items():
            with rule.case(name):
                assert of_low_demand(words) == []
    assert f"PFH {measure('high', Assessment(plant).function(FUNCTION).cases.scored)}" in shown["report"]


def test_the_command_line_has_the_pfh_in_its_table_and_its_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plant, file = high_demand_only(), tmp_path / "plant.yaml"
    file.write_text(plant_file.to_text(plant), encoding="utf-8")
    assert main(["score", str(file)]) == 0
    assert of_low_demand(capsys.readouterr().out) == []
    assert main(["score", str(file), "--json", "--all"]) == 0
    found = json.loads(capsys.readouterr().out)
    function, (group, *_) = found["functions"][FUNCTION], found["groups"].values()
    assert function["rrf"] is None
    assert "pfd" not in function
    assert function["pfh"]["scored"] == pytest.approx(Assessment(plant).function(FUNCTION).cases.scored, rel=1e-12)
    parts = group["parts_pfh"]
    assert parts["independent"] + parts["shared"] == pytest.approx(group["pfh"]["adjusted"], rel=1e-12)


def test_a_pfh_outside_the_range_is_not_called_a_pfd_above_1() -> None:
    plant = high_demand_only()
    devices = {key: device.model_copy(update={"lambda_du_fit": 1e6}) for key, device in plant.devices.items()}
    function = Assessment(plant.model_copy(update={"devices": devices})).function(FUNCTION)
    assert verdicts.outside_range(function)
    assert verdicts.beyond_range([function]).startswith(
        f"The equations do not hold for {FUNCTION}: common cause cannot improve a result."
    )
