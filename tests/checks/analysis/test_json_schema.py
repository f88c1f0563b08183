"""The schemas of the printed JSON, read by a general validator (jsonschema): what is printed fits them, and nothing else does."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from checks.__main__ import main
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from demo.load import PLANT
from tests.checks.given import ELEMENT, FORMAT_2, ROOT, SMALLEST, VALID, plain_2

SCORE = json.loads((ROOT / "checks" / "analysis" / "score.schema.json").read_text(encoding="utf-8"))
IMPROVE = json.loads((ROOT / "checks" / "improvement" / "improve.schema.json").read_text(encoding="utf-8"))
BOTH = pytest.mark.parametrize("schema", [SCORE, IMPROVE], ids=["score", "improve"])
IMPROVED = {
    "feasible": ["--system", "S50"],
    "infeasible": [],
    "adjusted": ["--function", "SIF-301", "--case", "adjusted"],
    "adjusted infeasible": ["--case", "adjusted"],
    "high demand": ["--function", "SIF-210"],
}


def _refused(schema: dict[str, Any], data: Any) -> list[str]:
    return [f"{fault.json_path}: {fault.message}" for fault in Draft202012Validator(schema).iter_errors(data)]


def _printed(capsys: pytest.CaptureFixture[str], *command: str) -> Any:
    assert main([*command, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def _objects(node: Any) -> Iterator[dict[str, Any]]:
    """Every object in a schema or in what is printed."""
    if isinstance(node, dict):
        yield node
    for item in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from _objects(item)


@BOTH
def test_the_schema_itself_is_valid(schema: dict[str, Any]) -> None:
    assert schema["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    Draft202012Validator.check_schema(schema)


@BOTH
def test_every_object_forbids_further_fields_or_says_what_its_ids_stand_for(schema: dict[str, Any]) -> None:
    objects = [part for part in _objects(schema) if part.get("type") == "object"]
    assert objects
    for part in objects:
        by_id = "propertyNames" in part and isinstance(part["additionalProperties"], dict)
        assert by_id or part["additionalProperties"] is False, part


@BOTH
def test_every_number_says_what_it_is(schema: dict[str, Any]) -> None:
    for part in _objects(schema):
        if {"number", "integer"} & set(part["type"] if isinstance(part.get("type"), list) else [part.get("type")]):
            assert part.get("description") or part == {"type": "number"}, part


@pytest.mark.parametrize("own", [(), ("esv", "pt")], ids=["the plant", "two groups"])
def test_what_score_prints_of_the_timeline_fits(
    own: tuple[str, ...], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    raw = plain_2()
    of = [raw["groups"][key] for key in own] or [raw]
    for each in of:
        each["conventions"] = each.get("conventions", {}) | {"redundancy_method": "timeline"}
    raw["groups"]["esv"]["tests"][0]["bypass"] = "channel"
    raw["groups"]["esv"]["channels"] = [["SOV", "ESV"], [ELEMENT, "ESV"]]
    path = tmp_path / "plant.yaml"
    path.write_text(plant_file.to_text(Plant.model_validate(raw)), encoding="utf-8")
    data = _printed(capsys, "score", str(path), "--all")
    assert _refused(SCORE, data) == []
    over, annex_b = {"id": "timeline", "edition": 1}, {"id": "annex-b", "edition": 2}
    assert data["methods"]["redundancy_method"] == (annex_b if own else over)
    assert data.get("group_methods") == ({"pt": {"redundancy": over}, "esv": {"redundancy": over}} if own else None)
    assert data["groups"]["pt"]["method"] == over
    assert data["groups"]["cpu"]["method"] == (annex_b if own else over)
    assert data["groups"]["pt"]["second"]["annex-b"] > 0.0
    assert data["groups"]["esv"]["second"]["annex-b"] is None, (
        "one channel in test, and a redundant element in the other"
    )
    assert "timeline" in data["groups"]["cpu"]["second"] if own else data["groups"]["cpu"]["second"]["annex-b"] > 0.0
    for name, function in data["functions"].items():
        assert function["method"] == over
        assert (function["second"]["annex-b"] is None) == (name != "SIF-3"), "only SIF-3 has no group esv"
        assert function["band"]["method"][-1] == over


@pytest.mark.parametrize("flags", [[], ["--all"], ["--curve"]], ids=" ".join)
@pytest.mark.parametrize("plant", [PLANT, FORMAT_2, VALID], ids=["demo", "format 2", "format 1"])
def test_what_score_prints_fits(plant: Path, flags: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    data = _printed(capsys, "score", str(plant), *flags)
    assert _refused(SCORE, data) == []
    assert ("reached_from" in data) == ("--all" in flags)
    assert all(("curve" in function) == ("--curve" in flags) for function in data["functions"].values())


@pytest.mark.parametrize("flags", [[], ["--all"], ["--curve"]], ids=" ".join)
def test_an_empty_plant_fits(flags: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "empty.yaml"
    file.write_text(SMALLEST, encoding="utf-8")
    assert _refused(SCORE, _printed(capsys, "score", str(file), *flags)) == []


@pytest.mark.parametrize("options", IMPROVED.values(), ids=IMPROVED)
def test_what_improve_prints_fits(options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert _refused(IMPROVE, _printed(capsys, "improve", str(PLANT), *options)) == []


@cache
def _text() -> str:
    """All that is printed of the file of format 2, its curves cut to two instants so that many tries stay quick."""
    data = outcome(Assessment(plant_file.read(FORMAT_2)), second=True, curve=True)
    for curve in filter(None, (function["curve"] for function in data["functions"].values())):
        curve.update({key: value[:2] for key, value in curve.items() if isinstance(value, list)})
        curve["tests"] = {group: instants[:2] for group, instants in curve["tests"].items()}
    return json.dumps(data)


def test_a_further_field_is_refused_in_every_object() -> None:
    data, valid, tried = json.loads(_text()), Draft202012Validator(SCORE), set()
    for found in _objects(data):
        if (keys := frozenset(found)) not in tried:
            tried.add(keys)
            found["further"] = True
            assert not valid.is_valid(data), keys
            del found["further"]
    assert len(tried) > 40
    assert _refused(SCORE, data) == []


CHANGES: dict[str, Callable[[dict[str, Any]], Any]] = {
    "a text for a number": lambda low: low["pfd"].update(scored="0.001"),
    "a negative PFDavg": lambda low: low["pfd"].update(scored=-0.001),
    "a percentage for a fraction": lambda low: low["band"].update(misses_target=33.0),
    "null for a figure": lambda low: low["rrf"].update(scored=None),
    "no RRF in low demand": lambda low: low.update(rrf=None),
    "another demand": lambda low: low.update(demand="medium"),
    "the other demand": lambda low: low.update(demand="high"),
    "a missing field": lambda low: low.pop("target"),
    "a part of --all alone": lambda low: low.pop("band"),
    "a band of a PFH": lambda low: low["band"].update(measure="pfh"),
    "an id with a space": lambda low: low["architecture"]["groups"].update({"a b": None}),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_changed_result_is_refused(change: Callable[[dict[str, Any]], Any]) -> None:
    data = json.loads(_text())
    change(next(each for each in data["functions"].values() if each["demand"] == "low" and each["band"]))
    assert _refused(SCORE, data)


@pytest.mark.parametrize(
    "changed",
    [{"further": 1}, {"case": "ideal"}, {"effort": None}, {"after": {"F": 0.0}}, {"actions": [{"question": "SEP1"}]}],
    ids=str,
)
def test_a_changed_plan_is_refused(changed: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    data = _printed(capsys, "improve", str(PLANT), "--system", "S50")
    assert _refused(IMPROVE, {**data, **changed})
