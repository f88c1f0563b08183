"""A plant on the timeline: every screen draws, names the method, and shows its figures; so do the paper and the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.__main__ import main
from checks.analysis.second_opinion import ANNEX_B, second_opinion
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import method
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.number_format import NONE, measure, small
from scoring.methods import registry
from scoring.timeline.method import ABOUT
from tests.checks.given import ELEMENT, plain_2
from tests.pages.reports.read import report, text
from tests.pages.reports.recorded import Keeping
from tests.pages.shown import SCREENS, Holding, Screen, fine, rows, said, unescaped
from tests.rule import Rule

BY_ANNEX_B = registry.REDUNDANCY.latest(ANNEX_B).about.label
YEARLY = [{"interval_h": 8760, "coverage": 1.0, "offsets_h": [0, 4380], "duration_h": 6, "bypass": "channel"}]


def on_timeline(**own: str) -> Plant:
    """The plant with everything of format 2, all groups on the timeline but those with a method of their own.

    A channel of esv has a redundant element inside.
    """
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = "timeline"
    for key, chosen in own.items():
        raw["groups"][key]["conventions"] = {"redundancy_method": chosen}
    raw["groups"]["esv"] |= {"tests": YEARLY, "channels": [["SOV", "ESV"], [ELEMENT, "ESV"]]}
    return Plant.model_validate(raw)


def test_every_screen_draws_and_names_the_method(holding: Holding, screen: Screen) -> None:
    plant = on_timeline(cpu="annex-b")
    holding(plant)
    line = method(plant)
    assert f"PFD and PFH: {ABOUT.label}, but IEC 61508-6:2010 Annex B" in line
    assert "for cpu" in line
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                assert line in unescaped(said(fine(screen(url_path))))


@pytest.mark.parametrize("key", ["SIF-1", "SIF-3"])
def test_a_function_says_that_the_timeline_carries_it_and_what_annex_b_gives(
    holding: Holding, screen: Screen, key: str
) -> None:
    """SIF-1 has a group with one channel in test and a redundant element inside another, for which Annex B has no form."""
    plant = on_timeline(cpu="annex-b")
    holding(plant)
    assessment = Assessment(plant)
    function, second = assessment.function(key), second_opinion(assessment, key)
    assert second is not None
    assert second.carried
    assert second.function.timeline == (function.cases.scored, function.cases.adjusted)
    at = fine(screen("redundancy", function=key, part="time"))
    shown = unescaped(said(at))
    assert f"The result is by the {ABOUT.label}" in shown
    table = {row["Group"]: row for row in rows(at, "Both methods")}
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    assert table[key][f"{unit} by timeline"] == small(function.cases.scored)
    if key == "SIF-1":
        assert (
            f"Second method, {BY_ANNEX_B}: none. Annex B has no form for esv: one channel is in test while the others"
            in shown
        )
        assert "stay in service, and a channel has a redundant element inside." in shown
        assert (table[key][f"{unit} by Annex B"], table["esv"][f"{unit} by Annex B"]) == (NONE, NONE)
        assert table["pt"][f"{unit} by Annex B"] != NONE
    else:
        assert second.function.annex_b is not None
        assert second.function.ratio == pytest.approx(function.cases.scored / second.function.annex_b[0])
        assert table[key][f"{unit} by Annex B"] == small(second.function.annex_b[0])
        scored, adjusted = (measure(function.demand, value) for value in second.function.annex_b)
        assert f"Second method, {BY_ANNEX_B}: PFH {scored} with common cause (× " in shown
        assert f"), {adjusted} with the cyber scenario. " in shown
        assert shown.count(second.why) == 1
        assert "ls, cpu: constant, by Annex B or as stated." in shown


def test_the_report_has_the_figures_of_the_timeline_and_its_equations(tmp_path: Path) -> None:
    plant = on_timeline(cpu="annex-b")
    kept = Keeping(tmp_path, plant)
    kept.put_up("S1")
    shown = " ".join(text(report(kept.record("S1"))).split())
    assessment = Assessment(plant)
    assert f"RRF {measure('low', assessment.function('SIF-1').cases.scored)}" in shown
    for wanted in (
        f"PFD and PFH: {ABOUT.label}, but IEC 61508-6:2010 Annex B",
        "PFDavg and PFH of cpu",
        "timeline edition 1",
        "mission 1.314e+05 h (15 years), everything new at its start",
        "redundancy_method annex-b",
        "SOV + ESV (1oo2 of SOV, SOV; beta 0.1, beta_d 0.05, site study) + ESV",
        "esv: redundant element 1oo2 of SOV, SOV (beta 0.1, beta_d 0.05) inside a channel: what all channels share fails all its devices",
        "redundant element 1oo2 of SOV, SOV in a channel: SOV lambda_DU 300 and lambda_DD 15 FIT",
        "1oo2 element in a channel: undetected, of one device alone = 0.9 x",
        "SIF-3: on the timeline, with the averages of ls, cpu as constants",
    ):
        assert wanted in shown, wanted


def test_the_command_line_names_the_method_beside_the_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plant, file = on_timeline(), tmp_path / "plant.yaml"
    file.write_text(plant_file.to_text(plant), encoding="utf-8")
    assert main(["score", str(file)]) == 0
    printed = capsys.readouterr().out
    assert f"PFD and PFH: {ABOUT.label};" in printed
    assert measure("low", Assessment(plant).function("SIF-1").cases.scored) in printed
    assert main(["improve", str(file), "--function", "SIF-1"]) == 0
