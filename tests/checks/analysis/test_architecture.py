"""Architecture of a function: what each route says of each group, and what it says where something is not entered."""

from __future__ import annotations

from typing import Any

import pytest

from checks.analysis import architecture
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Plant
from scoring.architecture.fault_tolerance import ROUTE_1H, ROUTE_2H, TABLE_6
from tests.checks.given import plain_2


def given(**of_pt: Any) -> dict[str, Any]:
    """The plant with everything of format 2, SIF-9 in low demand with its pressure transmitters as 1oo2; fields of PT changed."""
    raw = plain_2()
    raw["devices"]["PT"] = {key: value for key, value in {**raw["devices"]["PT"], **of_pt}.items() if value is not None}
    raw["groups"]["pt"] |= {"voting": "1oo2", "channels": [["PT"], ["PT"]]}
    raw["functions"] = {"SIF-9": {"demand": "low", "target_sil": 2, "groups": ["pt"]}}
    raw["systems"] = {}
    return raw


def stated(raw: dict[str, Any], key: str = "SIF-9") -> architecture.FunctionArchitecture:
    return architecture.of_function(Assessment(Plant.model_validate(raw)), key)


def statement(raw: dict[str, Any], route: str) -> architecture.Statement:
    (group, *_) = stated(raw).groups
    return next(each for each in group.statements if each.route == route)


def test_each_route_says_what_it_asks_of_a_pair_of_type_b() -> None:
    """By hand: SFF (550 + 850) / 1850 = 76 %; type B, 60 to below 90 %: SIL 2 needs HFT 1. Table 6 and Route 2H: 0 in low demand."""
    found = statement(given(), ROUTE_1H.id)
    assert found.words == "HFT 1; Route 1H asks 1 for SIL 2 with type B and SFF 60 to below 90 % (PT, 76 %)"
    assert (found.asked, found.holds) == (1, True)
    assert statement(given(), ROUTE_2H.id).words == "HFT 1; Route 2H asks 0 for SIL 2; field data as entered"
    assert statement(given(), TABLE_6.id).words == "HFT 1; IEC 61511-1 Table 6 asks 0 for SIL 2"


def test_a_group_with_too_little_fault_tolerance_falls_short_of_one_route_and_has_the_other() -> None:
    raw = given()
    raw["groups"]["pt"] |= {"voting": "1oo1", "channels": [["PT"]]}
    assert statement(raw, ROUTE_1H.id).words.startswith("HFT 0 falls short: Route 1H asks 1 for SIL 2")
    assert statement(raw, ROUTE_1H.id).holds is False
    assert statement(raw, TABLE_6.id).holds is True


def test_in_high_demand_table_6_and_route_2h_ask_a_second_channel_for_sil_2() -> None:
    raw = given()
    raw["functions"]["SIF-9"]["demand"] = "high"
    assert [statement(raw, route).asked for route in (ROUTE_2H.id, TABLE_6.id)] == [1, 1]
    assert (
        stated(raw).sil_words == "The target PFH 1.0e-6/h in high demand or continuous mode lies in the band of SIL 2."
    )


def test_a_sil_that_no_fault_tolerance_in_the_table_reaches_is_said() -> None:
    raw = given(lambda_s_fit=0, lambda_dd_fit=0)
    raw["functions"]["SIF-9"]["target_sil"] = 3
    found = statement(raw, ROUTE_1H.id)
    assert (
        found.words
        == "HFT 1 falls short: Route 1H has no HFT up to 2 for SIL 3 with type B and SFF below 60 % (PT, 0 %)"
    )
    assert (found.asked, found.holds) == (None, False)


@pytest.mark.parametrize(
    ("field", "route", "words"),
    [
        ("type", ROUTE_1H.id, "HFT 1; not stated: type of PT"),
        ("lambda_s_fit", ROUTE_1H.id, "HFT 1; not stated: lambda_s_fit of PT"),
        ("type", ROUTE_2H.id, "HFT 1; not stated: type of PT"),
        ("field_data", ROUTE_2H.id, "HFT 1; not stated: field_data of PT"),
    ],
)
def test_what_is_not_entered_is_named_and_nothing_is_claimed(field: str, route: str, words: str) -> None:
    found = statement(given(**{field: None}), route)
    assert (found.words, found.asked, found.holds) == (words, None, None)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (
            {"field_data": {"confidence": 0.7, "source": "site"}},
            "field data of PT have a confidence of 70 %, it asks 90 %",
        ),
        ({"lambda_dd_fit": 450}, "diagnostic coverage of PT, type B, is 50 %, it asks 60 %"),
    ],
)
def test_what_route_2h_asks_besides_is_said(fields: dict[str, Any], words: str) -> None:
    found = statement(given(**fields), ROUTE_2H.id)
    assert found.words == f"HFT 1; Route 2H asks 0 for SIL 2; {words}"
    assert found.holds is False


def test_type_a_needs_no_diagnostic_coverage_for_route_2h() -> None:
    assert statement(given(type="A", lambda_dd_fit=450), ROUTE_2H.id).holds is True


def test_of_devices_in_series_the_one_that_asks_most_counts() -> None:
    raw = given()
    raw["devices"]["SOV"] |= {"type": "A"}
    raw["groups"]["pt"]["channels"] = [["PT", "SOV"], ["PT", "SOV"]]
    assert "(PT, 76 %)" in statement(raw, ROUTE_1H.id).words


def test_a_target_outside_every_band_asks_no_route() -> None:
    raw = given()
    raw["functions"]["SIF-9"] = {"demand": "low", "target_rrf": 5, "groups": ["pt"]}
    found = stated(raw)
    assert found.sil is None
    assert found.sil_words == "The target RRF 5 lies in the band of no SIL, so no route is asked."
    assert {each.words for each in found.groups[0].statements} == {"HFT 1; no SIL to ask for"}


def test_a_stated_result_has_no_statement_but_its_own_capability() -> None:
    found = stated(plain_2(), "SIF-1")
    group = next(group for group in found.groups if group.id == "ls")
    assert (group.hft, group.capability, group.capability_words) == (None, 3, "SC 3 (certificate 7 edition 2)")
    assert all(each.words.startswith("not stated: its result is stated") for each in group.statements)


def test_the_lowest_capability_is_named_with_what_the_sil_asks_and_what_is_not_stated() -> None:
    found = stated(plain_2(), "SIF-1")
    assert found.capability == 2
    assert found.capability_words == (
        "The lowest systematic capability entered is SC 2 (pt); SIL 2 asks SC 2. Not stated for esv."
    )


def test_the_capability_of_a_group_comes_before_that_of_its_devices() -> None:
    raw = given()
    raw["groups"]["pt"]["systematic_capability"] = {"sc": 3, "source": "assessment of the pair"}
    assert stated(raw).groups[0].capability_words == "SC 3 (assessment of the pair)"


def test_a_function_that_votes_a_group_otherwise_has_the_fault_tolerance_of_that_voting() -> None:
    groups = {group.id: group for group in stated(plain_2(), "SIF-1").groups}
    assert (groups["pt"].arrangement, groups["pt"].hft) == ("1oo3", 2)


def test_the_json_has_the_statements_with_all_alone() -> None:
    assessment = Assessment(Plant.model_validate(given()))
    found = outcome(assessment, second=True)["functions"]["SIF-9"]["architecture"]
    assert found["sil_of_target"] == 2
    assert found["groups"]["pt"]["routes"][ROUTE_1H.id]["asked"] == 1
    assert found["devices"]["PT"]["sff"] == pytest.approx(1400 / 1850, rel=1e-12)
    assert "architecture" not in outcome(assessment)["functions"]["SIF-9"]


def test_no_statement_enters_a_result() -> None:
    with_all, without = given(), given(type=None, field_data=None, systematic_capability=None)
    assert outcome(Assessment(Plant.model_validate(with_all))) == outcome(Assessment(Plant.model_validate(without)))
