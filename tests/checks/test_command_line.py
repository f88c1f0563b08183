"""What ``python -m checks score`` prints: the table for people, and one JSON object with exactly the agreed keys."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import Any

import pytest

from checks.__main__ import main
from checks.analysis import second_opinion, uncertainty
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from scoring.levels import FOUNDATIONAL
from tests.checks.given import FORMAT_2, HERE, ROOT, VALID, plain, valid_plant

BETA_OPINIONS = {"humphreys-1987", "upm-1996", "iec62061-2005", "iso13849-1"}
CASES = {"single", "ideal", "scored", "adjusted"}
GROUP = {"voting", "part", "score", "beta_int", "beta_d_int", "voting_factor", "beta", "beta_d", "exposure"}
GROUP |= {"beta_adjusted", "beta_d_adjusted", "pfd", "pfh", "parts", "terms"}
BETAS = {"beta_int", "beta_d_int", "voting_factor", "beta", "beta_d", "beta_adjusted", "beta_d_adjusted"}
FUNCTION = {"demand", "rrf", "target", "meets_target", "share", "benefit_ideal", "benefit_kept", "share_kept"}
FUNCTION |= {"breakeven_compromise", "breakeven_compromise_scored", "defeated_by", "target_sil", "entries"}
ZONE = {"sl_target", "sl_indicated", "short", "asked", "not_asked", "gaps", "reach"}


def _printed(path: str, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    assert main(["score", path, *more]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    return printed.out


@pytest.fixture
def result(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    data: dict[str, Any] = json.loads(_printed(str(VALID), capsys, "--json"), parse_constant=refuse)
    return data


@pytest.fixture
def table(capsys: pytest.CaptureFixture[str]) -> str:
    return _printed(str(VALID), capsys)


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict | list):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _numbers(item)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


def test_with_all_each_result_names_its_method_and_the_second_opinion(capsys: pytest.CaptureFixture[str]) -> None:
    without = json.loads(_printed(str(FORMAT_2), capsys, "--json"))
    printed = json.loads(_printed(str(FORMAT_2), capsys, "--json", "--all"))
    for block, other in (("groups", "parts_pfh"), ("functions", "architecture")):
        for key, result in printed[block].items():
            added = {"method", "second", "band", "rests_on", "spurious_trips_per_year", other}
            added |= {"peak"} if block == "functions" else set()
            assert set(result) - set(without[block][key]) == added
            assert result["method"] == {"id": "annex-b", "edition": 2}
            redundant = block == "groups" and result["beta"] is not None
            assert set(result["second"]) == {"timeline", *(BETA_OPINIONS if redundant else ())}
    assert printed["groups"]["ls"]["second"] == {"timeline": None}
    assert printed["groups"]["cpu"]["second"]["timeline"] is not None
    assessment = Assessment(plant_file.read(FORMAT_2))
    opinion = second_opinion.second_opinion(assessment, "SIF-1")
    assert opinion is not None
    assert opinion.function.timeline is not None
    assert printed["functions"]["SIF-1"]["second"] == {"timeline": opinion.function.timeline[0]}
    assert printed["functions"]["SIF-1"]["peak"]["scored"] == opinion.peak.scored
    assert printed["groups"]["esv"]["second"]["timeline"] == second_opinion.of_group(assessment, "esv")
    assert all(printed["groups"]["esv"]["second"][method] is None for method in BETA_OPINIONS)


def test_with_all_a_group_has_the_beta_of_a_pair_by_each_further_method_that_is_answered(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """UPM 1996, every factor at level C: 875/50000. From memory."""
    raw = plain()
    of = {"plant": "plant", "system": "system:S30", "group": "group:pt-301"}
    raw["answers"] += [
        {"question": name, "of": of[question.asked_of], "value": "level-c"}
        for name, question in banks().opinions["upm"].items()
    ]
    path = tmp_path / "plant.yaml"
    path.write_text(plant_file.to_text(Plant.model_validate(raw)), encoding="utf-8")
    second = json.loads(_printed(str(path), capsys, "--json", "--all"))["groups"]["pt-301"]["second"]
    assert second["upm-1996"] == pytest.approx(0.0175, rel=1e-12)
    assert second["humphreys-1987"] is None


def test_with_all_each_result_has_its_band_and_what_it_rests_on(capsys: pytest.CaptureFixture[str]) -> None:
    printed = json.loads(_printed(str(FORMAT_2), capsys, "--json", "--all"))
    assessment = Assessment(plant_file.read(FORMAT_2))
    for key, result in printed["functions"].items():
        found = uncertainty.of_function(assessment, key)
        assert found is not None
        low = result["demand"] == "low"
        band = found.band.inverse if low else found.band
        assert result["band"] == {
            "measure": "rrf" if low else "pfh",
            "p5": band.p5,
            "p50": band.p50,
            "p95": band.p95,
            "misses_target": found.misses,
            "samples": 8192,
            "seed": 1,
            "method": [{"id": "uncertainty", "edition": 1}, {"id": "annex-b", "edition": 2}],
        }
        assert [part["share"] for part in result["rests_on"]] == [part.share for part in found.rests_on]
        assert {part["kind"] for part in result["rests_on"]} <= {"rates", "beta"}
    assert "misses_target" not in printed["groups"]["esv"]["band"]
    assert printed["groups"]["esv"]["band"]["measure"] == "pfd"
    assert printed["groups"]["ls"]["band"] is printed["groups"]["ls"]["rests_on"] is None, "its result is stated"


def test_with_curve_each_function_is_printed_over_its_mission(capsys: pytest.CaptureFixture[str]) -> None:
    printed = json.loads(_printed(str(FORMAT_2), capsys, "--json", "--curve"))
    curve = printed["functions"]["SIF-1"]["curve"]
    assert len(curve["hours"]) == len(curve["scored"]) == len(curve["adjusted"]) == len(curve["tested_together"])
    assert (curve["hours"][0], curve["hours"][-1]) == (0.0, 131400.0)
    assert curve["whole_mission"] is True
    assert curve["tests"]["esv"][:2] == [720.0, 1440.0]
    assert "second" not in printed["functions"]["SIF-1"]


@pytest.mark.parametrize("flag", ["--all", "--curve"])
def test_what_only_the_object_holds_is_refused_with_the_table(flag: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["score", str(VALID), flag]) == 2
    assert capsys.readouterr() == ("", "--all and --curve go with --json\n")


def test_the_object_has_its_blocks_and_every_id_of_the_plant(result: dict[str, Any]) -> None:
    plant = valid_plant()
    assert set(result) == {"plant", "conventions", "methods", "groups", "functions", "zones"}
    assert list(result["groups"]) == list(plant.groups)
    assert list(result["functions"]) == list(plant.functions)
    assert list(result["zones"]) == list(plant.zones)
    assert result["plant"] == {"name": "Quillmarch Works", "note": "invented data - not for use"}
    assert set(result["conventions"]) == {"beta_method", "voting_factor", "redundancy_method", "exposure_rule"}


def test_a_group_has_exactly_the_agreed_keys(result: dict[str, Any]) -> None:
    for group in result["groups"].values():
        assert set(group) == GROUP
        assert set(group["pfd"]) == set(group["pfh"]) == CASES
        assert set(group["parts"]) == {"independent", "shared"}
        assert group["score"] is None or set(group["score"]) == {"x", "y", "z", "s", "s_d"}


def test_a_group_without_redundancy_has_null_for_score_and_betas(result: dict[str, Any]) -> None:
    for key in ("tt-401", "pos-210"):
        assert {name: result["groups"][key][name] for name in BETAS | {"score"}} == dict.fromkeys(BETAS | {"score"})
    stated = result["groups"]["con-210"]
    assert stated["score"] is None
    assert (stated["beta_int"], stated["voting_factor"], stated["exposure"]) == (0.05, 0.5, 0.0)


def test_a_zone_never_reviewed_gives_a_null_exposure(result: dict[str, Any]) -> None:
    assert result["groups"]["pos-210"]["exposure"] is None
    assert result["zones"]["bpcs"]["gaps"] == []
    assert 0.0 < result["groups"]["ls-sis"]["exposure"] < 1.0


def test_a_function_has_exactly_the_agreed_keys_of_its_demand(result: dict[str, Any]) -> None:
    for function in result["functions"].values():
        measure = "pfd" if function["demand"] == "low" else "pfh"
        assert set(function) == FUNCTION | {measure}
        assert set(function[measure]) == CASES
        assert set(function["meets_target"]) == {"scored", "adjusted"}
        assert sum(function["share"].values()) == pytest.approx(1.0)


def test_a_low_demand_function_has_an_rrf_and_a_high_demand_function_has_none(result: dict[str, Any]) -> None:
    low, high = result["functions"]["SIF-301"], result["functions"]["SIF-210"]
    assert low["rrf"] == {case: pytest.approx(1.0 / low["pfd"][case]) for case in CASES}
    assert (low["target"], high["target"]) == (500.0, 1e-6)
    assert (high["rrf"], high["breakeven_compromise"]) == (None, None)
    assert set(low["share"]) == {"pt-301", "ls-sis", "esv-301"}


def test_a_zone_has_exactly_the_agreed_keys_and_so_have_its_gaps(result: dict[str, Any]) -> None:
    for zone in result["zones"].values():
        assert set(zone) == ZONE
        assert list(zone["sl_indicated"]) == list(FOUNDATIONAL)
        assert set(zone["short"]) == set(zone["sl_target"])
        assert zone["asked"] + zone["not_asked"] == 100
        assert all(set(gap) == {"topic", "fr", "sr", "answer", "weight", "reach"} for gap in zone["gaps"])
    gaps = {gap["topic"]: gap for gap in result["zones"]["sis"]["gaps"]}
    wanted = {"fr": ["RDF"], "sr": ["SR 5.1", "SR 5.1 RE 1"], "answer": "not-met", "weight": 3}
    assert gaps["Z01"] == {"topic": "Z01", "reach": gaps["Z01"]["reach"], **wanted}
    assert set(gaps["Z01"]["reach"]) == {"SIF-301", "SIF-401"}
    direct = {"topic": None, "fr": ["RA"], "sr": ["SR 7.3"], "answer": "partly", "weight": None}
    assert gaps[None] == {**direct, "reach": gaps["Z01"]["reach"]}


def test_every_number_is_finite_and_what_is_a_fraction_is_no_percentage(result: dict[str, Any]) -> None:
    numbers = list(_numbers(result))
    assert len(numbers) > 200
    assert all(isfinite(number) for number in numbers)
    for group in result["groups"].values():
        fractions = [group[name] for name in BETAS - {"voting_factor"} | {"exposure"}]
        assert all(0.0 <= fraction <= 1.0 for fraction in fractions if fraction is not None)


def test_the_table_names_method_and_conventions_in_one_line(table: str) -> None:
    line = method(valid_plant())
    assert line in table.splitlines()
    for words in ("IEC 61508-6:2010", "Annex D", "Annex B", "MooN factor", "graded (house rule)"):
        assert words in line


def test_the_table_ends_with_every_caution(table: str) -> None:
    assert tuple(table.splitlines()[-len(CAUTIONS) :]) == CAUTIONS
    assert "scenario for setting priorities; not a SIL claim; no standard gives this mapping" in table


def test_the_table_has_a_row_for_every_function_group_and_zone(table: str) -> None:
    first = {line.split()[0] for line in table.splitlines() if line.strip()}
    plant = valid_plant()
    assert {*plant.functions, *plant.groups, *plant.zones} <= first
    assert "not reviewed" in table


def test_the_table_tells_what_a_reader_must_know_about_the_data(table: str) -> None:
    assert "Note: pos-210: is in no zone, so its beta is not adjusted." in table
    assert "Note: field: no target level for DC, TRE." in table


def test_the_table_claims_no_sil(table: str) -> None:
    claims = [line for line in table.splitlines() if "SIL" in line and line not in CAUTIONS]
    assert claims == []


@pytest.mark.parametrize("name", ["valid.yaml", "unusual.yaml"])
def test_the_process_prints_the_same_object_twice(name: str) -> None:
    command = [sys.executable, "-m", "checks", "score", "--json", str(HERE / name)]
    runs = [subprocess.run(command, cwd=ROOT, capture_output=True, timeout=60, check=True).stdout for _ in "12"]  # noqa: S603
    assert runs[0] == runs[1]
    assert json.loads(runs[0])["plant"]["name"]


@pytest.mark.parametrize("arguments", [[], ["score"], ["scores", "x"], ["score", str(VALID), "--yaml"]])
def test_a_command_that_is_not_understood_ends_with_status_2(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert capsys.readouterr().out == ""


def test_a_line_that_a_library_prints_past_python_is_not_in_the_output() -> None:
    """The solver of scipy prints some of its lines to the standard output of the process."""
    prints = "import os, runpy, sys; import scoring.improvement.linear as linear; kept = linear.Rows.minimum; "
    prints += "linear.Rows.minimum = lambda *given: (os.write(1, b'a line\\n'), kept(*given))[1]; "
    prints += "sys.argv[1:] = ['improve', 'demo/quillmarch.yaml', '--case', 'adjusted', '--json']; "
    prints += "runpy.run_module('checks', run_name='__main__', alter_sys=True)"
    command = [sys.executable, "-c", prints]
    printed = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=60, check=True).stdout  # noqa: S603
    assert json.loads(printed)["case"] == "adjusted"
