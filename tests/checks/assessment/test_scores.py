"""Answers to points, and points to betas (model: IEC 61508-6:2010 Annex D)."""

from __future__ import annotations

import pytest

from checks.assessment.assessment import Assessment
from checks.assessment.results import Betas, GroupResult
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from scoring.common_cause import Score
from tests.checks.given import answer, assessed, bare_plant, plain

LOGIC = "group:ls-sis"


def _score(*answers: Answer, key: str = "ls-sis") -> Score:
    scored = assessed(*answers).group(key).score
    assert scored is not None
    return scored


def _betas(result: GroupResult) -> Betas:
    assert result.betas is not None
    return result.betas


def _all(of: str, value: str = "met") -> list[Answer]:
    return [answer(name, of, value) for name in banks().common_cause]


@pytest.mark.parametrize(
    ("claimed", "x", "y"),
    [
        (("SEP1",), 1.5, 1.5),
        (("DIV1",), 8.0, 0.0),
        (("DIV2",), 6.0, 0.0),
        (("DIV1", "DIV2"), 8.0, 0.0),
        (("DIV5", "DIV6"), 3.0, 2.0),
        (("PRO5", "PRO6", "PRO7"), 2.5, 1.5),
        (("PRO5", "PRO6"), 1.5, 1.0),
        (("SEP4", "DIV3"), 0.0, 0.0),  # rows of sensors and final elements only
        (("SEP1", "DIV1", "DIV2", "TST1"), 19.5, 11.5),
    ],
)
def test_points_add_up_and_of_alternatives_only_the_best_counts(claimed: tuple[str, ...], x: float, y: float) -> None:
    score = _score(*[answer(name, LOGIC) for name in claimed])
    assert (score.x, score.y) == (x, y)


@pytest.mark.parametrize(
    ("value", "points"),
    [("met", 3.0), ("equivalent", 3.0), ("partly", 0.0), ("not-met", 0.0), ("unknown", 0.0), ("not-applicable", 0.0)],
)
def test_only_met_and_met_by_another_measure_score(value: str, points: float) -> None:
    assert _score(answer("SEP1", LOGIC, value)).s == points


def test_an_alternative_that_is_not_met_does_not_hide_a_lesser_one_that_is() -> None:
    assert _score(answer("DIV1", LOGIC, "partly"), answer("DIV2", LOGIC)).x == 6.0


def test_everything_met_scores_about_a_hundred_and_nothing_met_takes_the_worst_class() -> None:
    """Of some 100 points S stays below the best class; S_D reaches it by the diagnostic credit alone."""
    for key, best, best_d, worst in (("ls-sis", 0.01, 0.005, 0.05), ("pt-301", 0.02, 0.01, 0.10)):
        result = assessed(*_all(f"group:{key}")).group(key)
        assert result.score is not None
        assert 100.0 <= result.score.s < 120.0
        assert (_betas(result).beta_int, _betas(result).beta_d_int) == (best, best_d)
        assert _betas(assessed().group(key)).beta_int == worst


def test_the_diagnostic_credit_counts_for_detected_failures_only() -> None:
    """pt-301: DC 850/1300 = 65 %, acted on within an hour: Z 1.0. ls-sis: DC 96 %, within 36 s: Z 1.5."""
    pressure = _score(answer("SEP1", "group:pt-301"), answer("DIV3", "group:pt-301"), key="pt-301")
    assert (pressure.x, pressure.y, pressure.z) == (10.0, 2.0, 1.0)
    assert (pressure.s, pressure.s_d) == (12.0, 22.0)
    logic = _score(answer("DIV1", LOGIC))
    assert (logic.z, logic.s, logic.s_d) == (1.5, 8.0, 20.0)


@pytest.mark.parametrize(
    ("changes", "z"),
    [
        ({"acts_on_detected": False}, 0.0),
        ({"diagnostic_interval_h": None}, 0.0),
        ({"diagnostic_interval_h": 1.9}, 1.0),
        ({"diagnostic_interval_h": 24}, 0.5),
        ({"diagnostic_interval_h": 168}, 0.0),
        ({"diagnostic_interval_h": 1000}, 0.0),
    ],
)
def test_there_is_no_diagnostic_credit_unless_detected_failures_are_acted_on_in_time(
    changes: dict[str, float | None], z: float
) -> None:
    raw = plain()
    raw["groups"]["pt-301"].update(changes)
    scored = Assessment(Plant.model_validate(raw)).group("pt-301").score
    assert scored is not None
    assert scored.z == z


def test_a_better_score_for_detected_failures_gives_them_the_better_class() -> None:
    names = ("DIV1", "DIV6", "DIV7", "DIV9", "SEP2", "ENV2", "CMP1", "TST1")
    result = assessed(*[answer(name, LOGIC) for name in names]).group("ls-sis")
    assert result.score is not None
    # X = 8 + 3 + 1.5 + 3 + 3 + 3 + 2 + 10, Y = 2 + 1.5 + 1 + 1 + 3 + 10, Z = 1.5
    assert (result.score.x, result.score.y) == (33.5, 18.5)
    assert (result.score.s, result.score.s_d) == (52.0, 33.5 * 2.5 + 18.5)
    assert (_betas(result).beta_int, _betas(result).beta_d_int) == (0.02, 0.01)


@pytest.mark.parametrize(("convention", "k"), [("iec61508-6-2010", 1.5), ("pds-2013", 2.0), ("none", 1.0)])
def test_the_voting_factor_is_that_of_the_chosen_convention(convention: str, k: float) -> None:
    betas = _betas(assessed(voting_factor=convention).group("pt-301"))
    assert (betas.voting_factor, betas.beta) == (k, k * 0.10)


@pytest.mark.parametrize("key", ["tt-401", "pos-210"])
def test_a_group_without_redundancy_has_neither_score_nor_betas(key: str) -> None:
    result = assessed(*_all("plant")).group(key)
    assert (result.score, result.betas, result.asked, result.unanswered) == (None, None, 0, 0)


def test_a_specified_beta_replaces_the_questionnaire_and_is_still_voted() -> None:
    plain_result = assessed().group("con-210")
    answered = assessed(*_all("group:con-210")).group("con-210")
    for result in (plain_result, answered):
        betas = _betas(result)
        assert result.score is None
        assert (betas.beta_int, betas.beta_d_int, betas.voting_factor) == (0.05, 0.025, 0.5)
        assert (betas.beta, betas.beta_d) == (0.025, 0.0125)
    assert plain_result.pfd == answered.pfd


def test_a_voted_beta_never_exceeds_one() -> None:
    raw = plain()
    raw["groups"]["pt-301"]["stated_beta"] = {"beta": 0.9, "beta_d": 0.5}
    betas = _betas(Assessment(Plant.model_validate(raw)).group("pt-301"))
    assert (betas.beta_int, betas.beta, betas.beta_d) == (0.9, 1.0, 0.75)


def test_open_questions_are_counted() -> None:
    result = assessed(answer("SEP1", LOGIC), answer("CMP1", "plant", "unknown")).group("ls-sis")
    assert (result.asked, result.unanswered) == (32, 30)


MISSING = ("DIV1", "DIV2", "CMP1", "TST1")
"""Without these 33 points some 67 are left: the class below the best that can be reached."""


def _all_but_missing(**more: str) -> list[Answer]:
    return [answer(name, LOGIC, **more) for name in banks().common_cause if name not in MISSING]


def test_the_band_runs_from_every_open_answer_met_to_every_claim_without_evidence_not_met() -> None:
    result = assessed(*_all_but_missing()).group("ls-sis")
    assert _betas(result).beta == 0.02
    assert result.beta_band == (0.01, 0.05)
    for measured in (result.low, result.high):
        assert measured.band is not None
        assert measured.band.optimistic < measured.cases.scored < measured.band.pessimistic


@pytest.mark.parametrize(
    ("value", "best"), [("unknown", 0.01), ("partly", 0.01), ("not-met", 0.02), ("not-applicable", 0.02)]
)
def test_unknown_and_partly_may_still_be_met_but_not_met_stays_so(value: str, best: float) -> None:
    result = assessed(*_all_but_missing(), *[answer(name, LOGIC, value) for name in MISSING]).group("ls-sis")
    assert result.beta_band is not None
    assert result.beta_band[0] == best
    assert _betas(result).beta == 0.02


def test_a_claim_with_evidence_holds_in_the_worst_case_too() -> None:
    shown = assessed(*_all_but_missing(evidence="seen")).group("ls-sis")
    assert shown.beta_band is not None
    assert shown.beta_band[1] == 0.02
    blank = assessed(*_all_but_missing(evidence="  ")).group("ls-sis")
    assert blank.beta_band is not None
    assert blank.beta_band[1] == 0.05


def test_without_any_answer_the_groups_of_the_valid_plant_are_all_there() -> None:
    assert set(bare_plant().groups) == {"pt-301", "tt-401", "ls-sis", "esv-301", "pos-210", "con-210"}
