"""What ``python -m checks improve`` prints, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from checks.__main__ import main
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer
from demo.load import PLANT

DEMO = str(PLANT)


def _printed(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    assert main(["improve", DEMO, "--json", *more]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    found: dict[str, Any] = json.loads(printed.out)
    return found


def _refused(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    assert main(["improve", DEMO, *more]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    return printed.err


def test_the_object_has_exactly_the_agreed_keys_and_its_actions_give_what_it_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = _printed(capsys, "--system", "S50")
    assert list(found) == ["case", "feasible", "proven", "effort", "actions", "before", "after", "all"]
    assert (found["case"], found["feasible"], found["proven"]) == ("scored", True, True)
    assert all(set(action) == {"question", "of"} for action in found["actions"])
    assert found["effort"] == len(found["actions"])
    before = Assessment(plant_file.read(PLANT))
    after = before.with_answers(Answer(**action, value="met") for action in found["actions"])
    for state, results in ((before, found["before"]), (after, found["after"])):
        assert list(results) == ["SIF-501"]
        assert results["SIF-501"] == pytest.approx(1.0 / state.function("SIF-501").cases.scored)
    assert found["before"]["SIF-501"] < 300 <= found["after"]["SIF-501"] <= found["all"]["SIF-501"]


def test_a_high_demand_function_is_printed_by_its_pfh(capsys: pytest.CaptureFixture[str]) -> None:
    found = _printed(capsys, "--function", "SIF-210")
    assert found["actions"] == []
    assert found["effort"] == 0.0
    assert found["before"]["SIF-210"] == found["after"]["SIF-210"] < 1e-6


def test_where_no_set_is_enough_there_is_none(capsys: pytest.CaptureFixture[str]) -> None:
    found = _printed(capsys)
    assert (found["feasible"], found["proven"], found["effort"], found["actions"]) == (False, True, None, [])
    assert found["before"] == found["after"]
    assert found["all"]["SIF-401"] < 50


def test_the_cyber_scenario_is_another_case(capsys: pytest.CaptureFixture[str]) -> None:
    found = _printed(capsys, "--function", "SIF-301", "--case", "adjusted")
    assert found["case"] == "adjusted"
    assert found["before"]["SIF-301"] < 500 <= found["after"]["SIF-301"]
    assert any(action["of"].startswith("zone:") for action in found["actions"])


def test_efforts_of_a_file_decide_which_set_is_cheapest(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (action,) = _printed(capsys, "--function", "SIF-501")["actions"]
    efforts = tmp_path / "efforts.csv"
    efforts.write_text(f"question,of,effort\n{action['question']},{action['of']},7.5\n", encoding="utf-8")
    found = _printed(capsys, "--function", "SIF-501", "--efforts", str(efforts))
    assert action not in found["actions"] or found["effort"] == 7.5
    assert found["effort"] > 1.0


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        ("SEP1,group:pt-301,-1", "line 2: effort -1; a number above 0, at most 1,000,000, such as 2.5"),
        ("SEP1,group:pt-301,0", "line 2: effort 0; a number above 0"),
        ("SEP1,group:pt-301,nan", "line 2: effort nan; a number above 0"),
        ("SEP1,group:pt-301,", "line 2: effort (empty); a number above 0"),
        ('SEP1,group:pt-301,"2,5"', "line 2: effort 2,5; a number above 0"),
        ("XXX,group:pt-301,1", "line 2: XXX is in no bank"),
        ("SEP1,group:nowhere,1", "line 2: group:nowhere does not exist"),
        ("SEP1,somewhere,1", "line 2: of somewhere; plant, system:ID, group:ID or zone:ID"),
        ("SEP1,plant,1", "line 2: SEP1 cannot be answered for plant"),
        ("PRO1,plant,1\nPRO1,plant,2", "line 3: PRO1 of plant is on line 2 too; one line each"),
    ],
)
def test_a_bad_file_of_efforts_is_refused_with_its_line(
    lines: str, fault: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    efforts = tmp_path / "efforts.csv"
    efforts.write_text(f"question,of,effort\n{lines}\n", encoding="utf-8")
    assert f"{efforts}: {fault}" in _refused(capsys, "--efforts", str(efforts))


def test_a_file_of_efforts_without_its_columns_or_that_is_not_there_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    efforts = tmp_path / "efforts.csv"
    efforts.write_text("id;price\nSEP1;2\n", encoding="utf-8")
    assert "(head): line 1: id, price; columns question, of, effort" in _refused(capsys, "--efforts", str(efforts))
    efforts.write_text("", encoding="utf-8")
    assert "(head): no line" in _refused(capsys, "--efforts", str(efforts))
    assert "(file)" in _refused(capsys, "--efforts", str(tmp_path / "none.csv"))


def test_an_id_that_the_plant_has_not_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert "--function: SIF-9 is not in the plant file; one of SIF-210," in _refused(capsys, "--function", "SIF-9")
    assert "--system: S99 is not in the plant file; one of S20," in _refused(capsys, "--system", "S99")


def test_without_json_it_is_a_text_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["improve", DEMO, "--system", "S50"]) == 0
    text = capsys.readouterr().out
    assert "One answer brings SIF-501 to its target with common cause, effort 1." in text
    assert "Proven: no set with less effort is enough." in text
    assert "certifies nothing" in text
