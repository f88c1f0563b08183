"""The cheapest set of answers by hand, from points of Table D.1 and bands of Table D.4.

Source: IEC 61508-6:2010, Annex D, Tables D.1 and D.4, and Annex B, B.3.2.2.2 (from memory, as the tables of the program; the
sums below are worked by hand). A 1oo2 group of valves, lambda_DU 1000 FIT, tested every 8760 h, no repair time: S 39.5 from
TST1 20, DIV3 9, DIV4 6.5 and ENV2 4, so beta is 10 %; 5.5 points more reach the band from 45, where beta is 5 %.
PFD = 2 ((1 - beta) lambda)^2 (T/2)(T/3) + beta lambda T/2: 2.072e-5 + 4.380e-4 = 4.587e-4 (RRF 2,180) at 10 %,
2.309e-5 + 2.190e-4 = 2.421e-4 (RRF 4,131) at 5 %.
"""

from __future__ import annotations

from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.improvement import gains
from checks.improvement.plan import Plan, plan
from checks.plantfile.plant import Asked, Plant
from checks.questions.bank import banks

MET = ("TST1", "DIV3", "DIV4", "ENV2")
OPEN = {"CMP1": 5.0, "CMP2": 5.0, "SEP4": 4.0, "SEP1": 3.0, "ENV3": 3.0, "PRO2": 3.0}
"""Points X + Y of the open questions in the columns for sensors and final elements."""
PLANTWIDE = ("CMP1", "CMP2")


def _plant(*valves: str, target: float = 3000.0) -> Plant:
    group = {
        "part": "final",
        "voting": "1oo2",
        "channels": [["ESV"], ["ESV"]],
        "programmable": False,
        "proof_test": {"interval_h": 8760, "coverage": 1.0},
        "mttr_h": 0,
        "mrt_h": 0,
    }
    answers: list[dict[str, Any]] = [
        {"question": name, "of": "plant", "value": "not-met" if name in OPEN else "not-applicable", "note": "by hand"}
        for name, question in banks().common_cause.items()
        if question.asked_of == "plant"
    ]
    answers += [
        {
            "question": name,
            "of": f"group:{key}",
            "value": "met" if name in MET else "not-met" if name in OPEN else "not-applicable",
            "note": "by hand",
        }
        for key in valves
        for name in banks().common_cause
        if name not in PLANTWIDE
    ]
    return Plant.model_validate(
        {
            "format": 2,
            "plant": {"name": "By hand"},
            "conventions": {},
            "devices": {"ESV": {"lambda_du_fit": 1000}},
            "groups": dict.fromkeys(valves, group),
            "systems": {"S": {"functions": [f"F-{key}" for key in valves]}},
            "functions": {f"F-{key}": {"demand": "low", "target_rrf": target, "groups": [key]} for key in valves},
            "answers": answers,
        }
    )


def _planned(plant: Plant, efforts: dict[Asked, float] | None = None) -> Plan:
    return plan(Assessment(plant), list(plant.functions), "scored", efforts=efforts or {})


def test_two_answers_of_five_points_or_less_cross_the_band_from_45() -> None:
    """IEC 61508-6:2010, Tables D.1 and D.4, worked by hand. Confidence: memory."""
    found = _planned(_plant("v1"))
    assert found.shown(found.before)["F-v1"] == pytest.approx(2180, rel=5e-4)
    assert found.shown(found.after)["F-v1"] == pytest.approx(4131, rel=5e-4)
    assert (found.effort, found.proven) == (2.0, True)
    assert found.actions == (("CMP1", "plant"), ("CMP2", "plant")), "of fifteen pairs the first by id"


def test_dearer_answers_give_way_to_others_with_enough_points() -> None:
    """IEC 61508-6:2010, Tables D.1 and D.4, worked by hand. Confidence: memory."""
    found = _planned(_plant("v1"), {("CMP1", "plant"): 5.0, ("CMP2", "plant"): 5.0})
    assert found.actions == (("ENV3", "group:v1"), ("PRO2", "group:v1"))
    dear = {("ENV3", "group:v1"): 2.0, ("PRO2", "group:v1"): 2.0, ("SEP1", "group:v1"): 2.5}
    found = _planned(_plant("v1"), {**dear, ("CMP1", "plant"): 5.0, ("CMP2", "plant"): 5.0})
    assert found.actions == (("ENV3", "group:v1"), ("SEP4", "group:v1")), "3 + 4 points for an effort of 3"


def test_answers_of_the_whole_plant_bring_two_functions_to_their_targets_at_once() -> None:
    """IEC 61508-6:2010, Tables D.1 and D.4, worked by hand. Confidence: memory."""
    found = _planned(_plant("v1", "v2"), {("CMP1", "plant"): 1.5, ("CMP2", "plant"): 1.5})
    assert found.actions == (("CMP1", "plant"), ("CMP2", "plant"))
    assert found.effort == 3.0, "one pair for each group would take 4"


def test_all_open_answers_do_not_reach_the_band_from_70() -> None:
    """IEC 61508-6:2010, Tables D.1 and D.4, worked by hand. Confidence: memory."""
    found = _planned(_plant("v1", target=5000.0))
    assert sum(OPEN.values()) + 39.5 == 62.5
    assert (found.feasible, found.proven, found.beyond) == (False, True, ("F-v1",))
    assert found.shown(found.together)["F-v1"] == pytest.approx(4131, rel=5e-4)


def test_no_answer_gains_alone_and_each_does_in_a_pair() -> None:
    """IEC 61508-6:2010, Tables D.1 and D.4, worked by hand. Confidence: memory."""
    model = _planned(_plant("v1")).model
    assert gains.alone(model) == [None] * 6
    pairs = gains.together(model)
    assert all(gain is not None and len(gain.actions) == 2 for gain in pairs)
    assert {round(gain.factor, 2) for gain in pairs if gain is not None} == {1.89}, "4131 / 2180"
