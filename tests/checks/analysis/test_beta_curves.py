"""A function against the beta of one group."""

from __future__ import annotations

import numpy as np
import pytest

from checks.analysis import beta_curves
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from demo.load import PLANT
from scoring import voting
from scoring.methods.registry import MOON_FACTORS
from scoring.voting import Voting
from tests.checks.given import plain_2
from tests.rule import Rule

PLAIN = plant_file.read(PLANT)
DEMO = Assessment(PLAIN)
OTHERS = ("1oo1", "1oo2", "2oo2", "2oo3", "1oo3")
"""Votings that are shown with the one as built."""
GRID = np.logspace(-3, 0, 31)
PAIRS = [(name, group.id) for name in PLAIN.functions for group in DEMO.function(name).groups if group.betas]


def with_conventions(**changed: str) -> Assessment:
    conventions = PLAIN.conventions.model_copy(update=changed)
    return Assessment(PLAIN.model_copy(update={"conventions": conventions}))


def as_built(drawn: beta_curves.Curves) -> beta_curves.Curve:
    (curve,) = [candidate for candidate in drawn.curves if candidate.as_built]
    return curve


def test_the_curve_as_built_meets_the_function_at_its_beta() -> None:
    with Rule() as rule:
        for function, group in PAIRS:
            with rule.case(f"{function}, {group}"):
                at = beta_curves.against_beta(DEMO, function, group, beta_int=GRID).scored_beta_int
                drawn = beta_curves.against_beta(DEMO, function, group, beta_int=np.array([at]))
                assert as_built(drawn).result[0] == pytest.approx(DEMO.function(function).cases.scored, rel=1e-12)


def test_without_exposure_the_curve_as_built_meets_the_function_at_the_scored_beta() -> None:
    unexposed = with_conventions(exposure_rule="none")
    with Rule() as rule:
        for function, group in PAIRS:
            with rule.case(f"{function}, {group}"):
                betas = unexposed.group(group).betas
                assert betas is not None
                drawn = beta_curves.against_beta(unexposed, function, group, beta_int=np.array([betas.beta_int]))
                assert drawn.scored_beta_int == betas.beta_int
                assert as_built(drawn).result[0] == pytest.approx(unexposed.function(function).cases.scored, rel=1e-12)


def test_one_call_with_many_betas_equals_a_call_for_each() -> None:
    with Rule() as rule:
        for function, group in PAIRS:
            with rule.case(f"{function}, {group}"):
                together = beta_curves.against_beta(DEMO, function, group, beta_int=GRID)
                for index in (0, 7, 15, 22, 30):
                    alone = beta_curves.against_beta(DEMO, function, group, beta_int=GRID[index : index + 1])
                    for single, many in zip(alone.curves, together.curves, strict=True):
                        assert single.voting == many.voting
                        assert single.result[0] == many.result[index]


def test_one_curve_is_as_built_and_the_others_are_other_votings() -> None:
    with Rule() as rule:
        for function, group in PAIRS:
            with rule.case(f"{function}, {group}"):
                drawn = beta_curves.against_beta(DEMO, function, group, beta_int=GRID)
                assert as_built(drawn).voting == PLAIN.groups[group].voting
                votings = [curve.voting for curve in drawn.curves]
                assert len(set(votings)) == len(votings)
                assert set(votings) == {*map(voting.read, OTHERS), PLAIN.groups[group].voting}
                assert all(curve.result.shape == GRID.shape for curve in drawn.curves)


def test_a_voting_that_survives_no_failure_does_not_move_with_beta() -> None:
    with Rule() as rule:
        for function, group in PAIRS:
            with rule.case(f"{function}, {group}"):
                for curve in beta_curves.against_beta(DEMO, function, group, beta_int=GRID).curves:
                    if not curve.voting.redundant:
                        assert np.ptp(curve.result) == 0.0


def test_a_voting_for_which_the_convention_prints_no_factor_is_left_out() -> None:
    function, group = PAIRS[0]
    for convention in ("iec61508-6-2010", "pds-2013", "none"):
        drawn = beta_curves.against_beta(with_conventions(voting_factor=convention), function, group, beta_int=GRID)
        for other_voting in beta_curves.OTHER_VOTINGS:
            try:
                printed = not other_voting.redundant or MOON_FACTORS.get(convention, 1).factor(other_voting) > 0.0
            except voting.VotingRefused:
                printed = False
            assert (other_voting in [curve.voting for curve in drawn.curves]) == printed


def test_the_factor_of_the_voting_is_no_part_of_the_beta_on_the_axis() -> None:
    betas = DEMO.group("pt-301").betas
    assert betas is not None
    drawn = beta_curves.against_beta(DEMO, "SIF-301", "pt-301", beta_int=GRID)
    assert PLAIN.groups["pt-301"].voting == Voting(2, 3)
    assert drawn.scored_beta_int == pytest.approx(betas.beta / betas.voting_factor, rel=1e-12)
    assert drawn.adjusted_beta_int == pytest.approx(betas.beta_adjusted / betas.voting_factor, rel=1e-12)


def test_a_group_without_a_beta_has_no_curve() -> None:
    with pytest.raises(ValueError, match=r"^xv-401 has no redundancy, so no beta$"):
        beta_curves.against_beta(DEMO, "SIF-401", "xv-401", beta_int=GRID)


def test_on_the_timeline_every_voting_is_the_plant_with_that_voting() -> None:
    """Channels are tested on one day, as the curves take them where their number changes; SIF-2 has the group as an alternative."""
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = "timeline"
    raw["groups"]["cpu"]["conventions"] = {"redundancy_method": "annex-b"}
    raw["groups"]["esv"]["tests"] = [{"interval_h": 8760, "coverage": 1.0, "offsets_h": [0, 4380]}]
    raw["functions"]["SIF-1"]["groups"][0] = "pt"
    assessment = Assessment(Plant.model_validate(raw))
    with Rule() as rule:
        for name in ("SIF-1", "SIF-2", "SIF-3"):
            at = beta_curves.against_beta(assessment, name, "pt", beta_int=GRID).scored_beta_int
            drawn = beta_curves.against_beta(assessment, name, "pt", beta_int=np.array([at]))
            assert {str(curve.voting) for curve in drawn.curves} == set(OTHERS)
            for curve in drawn.curves:
                with rule.case(f"{name}, {curve.voting}"):
                    n = curve.voting.n
                    group = {**raw["groups"]["pt"], "voting": str(curve.voting), "channels": [["PT"]] * n}
                    voted = Assessment(Plant.model_validate({**raw, "groups": {**raw["groups"], "pt": group}}))
                    assert float(curve.result[0]) == pytest.approx(voted.function(name).cases.scored, rel=1e-9)
