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
CHANGES = ("xv-401,interval,,8760,3", "xv-401,interval,,2190,5", "pt-401,interval,,4380,1", "pt-401,voting,,2oo2,0.5")


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


def _allow(tmp_path: Path, *lines: str) -> str:
    file = tmp_path / "changes.csv"
    file.write_text("\n".join(["group,change,test,to,effort", *lines, ""]), encoding="utf-8")
    return str(file)


def test_allowed_changes_of_a_file_are_actions_like_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """SIF-401 does not reach its target by answers: its single valve needs a shorter test interval."""
    file = _allow(tmp_path, *CHANGES)
    found = _printed(capsys, "--function", "SIF-401", "--allow", file)
    assert (found["feasible"], found["proven"]) == (True, True)
    changes = [action for action in found["actions"] if "group" in action]
    assert changes
    before = Assessment(plant_file.read(PLANT))
    answers = [Answer(**action, value="met") for action in found["actions"] if "question" in action]
    raw = plant_file.plain(before.plant)
    for change in changes:
        test = raw["groups"][change["group"]]["proof_test"]
        key = {"interval": "interval_h", "coverage": "coverage"}[change["change"]]
        assert test[key] == float(change["from"])
        test[key] = float(change["to"])
    plant, faults, _ = plant_file.from_data(raw)
    assert plant is not None, faults
    after = Assessment(plant, before.answers.plus(answers))
    assert found["after"]["SIF-401"] == pytest.approx(1.0 / after.function("SIF-401").cases.scored)
    assert found["before"]["SIF-401"] < 50 <= found["after"]["SIF-401"] <= found["all"]["SIF-401"] * (1 + 1e-9)
    assert main(["improve", DEMO, "--function", "SIF-401", "--allow", file]) == 0
    text = capsys.readouterr().out
    assert f"{changes[0]['change']} of {changes[0]['group']}: {changes[0]['from']} → {changes[0]['to']}" in text
    assert "and with the best of" in text


def test_without_allowed_changes_of_its_groups_nothing_differs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = _allow(tmp_path, "xv-401,interval,,4380,1")
    assert _printed(capsys, "--system", "S50", "--allow", file) == _printed(capsys, "--system", "S50")


@pytest.mark.parametrize(
    ("lines", "faults"),
    [
        (["pt-301,interval,,4380,-1"], ["line 2, column effort: -1; a number above 0"]),
        (["pt-301,interval,,4380,"], ["line 2, column effort: (empty); a number above 0"]),
        (["nowhere,interval,,4380,1"], ["line 2, column group: nowhere is no group; one of"]),
        (["pt-301,beta,,0.01,1"], ["line 2, column change: beta; one of interval, coverage, voting"]),
        (["pt-301,interval,weekly,4380,1"], ["line 2, column test: weekly; a test of the group"]),
        (
            ["pt-301,voting,,2oo9,1", "pt-301,interval,,1,1"],
            ["line 2, column to: 2oo9", "line 3, column to: 1; hours, 24 to 438,000"],
        ),
        (
            ["pt-301,interval,,4380,1", "pt-301,interval,,4380.0,2"],
            ["line 3: interval of pt-301 to 4380 h is on line 2 too"],
        ),
        (
            [f"pt-301,interval,,{hours},1" for hours in range(1000, 8000, 1000)],
            ["(file): 7 changes of pt-301; at most 6"],
        ),
    ],
)
def test_a_bad_file_of_changes_is_refused_with_line_and_column(
    lines: list[str], faults: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = _allow(tmp_path, *lines)
    said = _refused(capsys, "--allow", file)
    assert all(f"{file}: {fault}" in said for fault in faults), said


def test_a_file_of_changes_needs_its_columns(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "changes.csv"
    file.write_text("group,to\nv,1\n", encoding="utf-8")
    said = _refused(capsys, "--allow", str(file))
    assert "(head): line 1: group, to; columns group, change, test, to, effort" in said


def test_an_id_that_the_plant_has_not_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert "--function: SIF-9 is not in the plant file; one of SIF-210," in _refused(capsys, "--function", "SIF-9")
    assert "--system: S99 is not in the plant file; one of S20," in _refused(capsys, "--system", "S99")


def test_without_json_it_is_a_text_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["improve", DEMO, "--system", "S50"]) == 0
    text = capsys.readouterr().out
    assert "One answer brings SIF-501 to its target with common cause, effort 1." in text
    assert "Proven: no set with less effort is enough." in text
    assert "certifies nothing" in text
