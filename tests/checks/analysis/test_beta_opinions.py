"""Opinions of further methods on the beta of a group: from its own answers, beside the result and without moving it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.analysis import beta_opinions, exposure_opinions
from checks.analysis.beta_opinions import AskedOpinion
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer
from checks.questions.bank import OPINIONS, banks
from checks.state.revision_status import Cause
from checks.visibility import redaction
from checks.visibility.blind_round import BlindAssessment
from tests.checks.given import answer, assessed, every_topic

GROUP = "pt-301"
BANKS = tuple(dict(OPINIONS))


def of(name: str) -> str:
    """The broadest addressee of a question, for the group of the tests."""
    return {"plant": "plant", "system": "system:S30", "group": f"group:{GROUP}"}[banks().questions[name].asked_of]


def every(bank: str, value: str, **more: str) -> list[Answer]:
    return [answer(name, of(name), value, **more) for name in banks().opinions[bank]]


def opinion(assessment: Assessment, bank: str) -> AskedOpinion:
    found = beta_opinions.of_group(assessment, GROUP)
    assert found is not None
    return next(each for each in found.asked if each.bank == bank)


@pytest.mark.parametrize(
    ("bank", "value", "beta"),
    [
        ("humphreys", "level-e", 0.001),
        ("humphreys", "level-a", 15100 / 51000),
        ("upm", "level-e", 0.00102),
        ("upm", "level-c", 0.0175),
        ("iec62061", "met", 0.01),
        ("iec62061", "not-met", 0.1),
        ("iso13849", "equivalent", 0.02),
    ],
)
def test_the_answers_of_a_method_give_its_beta(bank: str, value: str, beta: float) -> None:
    """Humphreys 1987: 51/51000 and 15100/51000 (closure). UPM 1996, IEC 62061 Table F.2: from memory. ISO 13849-1: read."""
    found = opinion(assessed(*every(bank, value)), bank)
    assert found.beta == pytest.approx(beta, rel=1e-12)
    assert found.open == ()


@pytest.mark.parametrize("bank", BANKS)
def test_a_method_without_answers_has_no_opinion(bank: str) -> None:
    found = opinion(assessed(), bank)
    assert (found.beta, found.band, found.worked) == (None, None, ())
    assert len(found.open) == found.asked == len(banks().opinions[bank])


@pytest.mark.parametrize("bank", BANKS)
def test_one_open_question_or_one_not_known_leaves_no_opinion(bank: str) -> None:
    first, *others = every(bank, "level-b" if bank in ("humphreys", "upm") else "met")
    assert opinion(assessed(*others), bank).open == (first.question,)
    unknown = answer(first.question, first.of, "unknown")
    found = opinion(assessed(unknown, *others), bank)
    assert (found.beta, found.open) == (None, (first.question,))


def test_a_measure_met_in_part_scores_nothing() -> None:
    """IEC 62061 and ISO 13849-1: a measure counts in full or not at all. Read."""
    whole, part = (opinion(assessed(*every("iso13849", value)), "iso13849") for value in ("not-met", "partly"))
    assert whole.beta is part.beta is None
    assert whole.open == part.open == ()


def test_the_band_reaches_from_partly_met_to_claims_without_evidence() -> None:
    given_with = every("iec62061", "met", evidence="drawing 4")
    assert opinion(assessed(*given_with), "iec62061").band == (0.01, 0.01)
    assert opinion(assessed(*every("iec62061", "met")), "iec62061").band == (0.01, 0.1)
    assert opinion(assessed(*every("iec62061", "partly", evidence="a")), "iec62061").band == (0.01, 0.1)
    levels = every("humphreys", "level-e")
    assert opinion(assessed(*levels), "humphreys").band == pytest.approx((0.001, 15100 / 51000))


@given(st.sampled_from(BANKS), st.data())
def test_answers_to_a_further_method_move_no_result(bank: str, data: st.DataObject) -> None:
    before = assessed(answer("SEP1", f"group:{GROUP}"))
    names = data.draw(st.lists(st.sampled_from(list(banks().opinions[bank])), unique=True))
    values = {name: data.draw(st.sampled_from(banks().questions[name].answers)) for name in names}
    after = before.with_answers(answer(name, of(name), value) for name, value in values.items())
    for key in before.plant.functions:
        assert after.function(key).cases == before.function(key).cases
    found, earlier = after.group(GROUP), before.group(GROUP)
    assert (found.betas, found.score, found.asked, found.unanswered) == (
        earlier.betas,
        earlier.score,
        earlier.asked,
        earlier.unanswered,
    )


def test_the_beta_that_carries_the_result_is_named_with_its_band() -> None:
    assessment = assessed(answer("SEP1", f"group:{GROUP}"))
    found, result = beta_opinions.of_group(assessment, GROUP), assessment.group(GROUP)
    assert found is not None
    assert result.betas is not None
    assert found.carried.label == "IEC 61508-6:2010 Annex D"
    assert found.carried.beta == result.betas.beta_int
    low, high = found.carried.band
    assert low <= found.carried.beta <= high


def test_a_group_with_a_specified_beta_is_asked_too_and_one_without_redundancy_is_not() -> None:
    assessment = assessed()
    specified = beta_opinions.of_group(assessment, "con-210")
    assert specified is not None
    assert specified.carried.label == "Specified beta"
    single = next(key for key, group in assessment.plant.groups.items() if not group.voted.redundant)
    assert beta_opinions.of_group(assessment, single) is None
    assert beta_opinions.figures(assessment, single) == {}


def test_of_several_systems_the_worse_level_counts() -> None:
    assessment = assessed()
    shared = next(key for key, systems in assessment.links.systems_of.items() if len(systems) > 1)
    first, second = assessment.links.systems_of[shared][:2]
    answers = [answer("HUM4", f"system:{first}", "level-d"), answer("HUM4", f"system:{second}", "level-b")]
    assert assessment.with_answers(answers).answers_for(shared)["HUM4"].value == "level-b"


def _of_reader(assessment: Assessment, within: frozenset[str]) -> AskedOpinion:
    hidden = redaction._redacted_results(assessment, within, counts=False)  # noqa: SLF001
    return opinion(hidden, "humphreys")


def test_a_reader_who_may_not_see_the_answers_gets_the_beta_and_not_the_equation_that_names_each_of_them() -> None:
    assessment = assessed(*every("humphreys", "level-c", evidence="a"))
    full, reader = opinion(assessment, "humphreys"), _of_reader(assessment, frozenset())
    assert reader.beta == full.beta == pytest.approx(875 / 51000)
    assert full.worked
    assert reader.worked == ()


def test_an_answer_hidden_by_a_blind_round_counts_and_is_not_in_the_equation() -> None:
    assessment = assessed(*every("humphreys", "level-c", evidence="a"))
    hidden = {("HUM1", f"group:{GROUP}"): Cause(1, "2026-01-01", "F-1", "the next assessment")}
    found = opinion(BlindAssessment(assessment, hidden), "humphreys")
    assert found.beta == pytest.approx(875 / 51000)
    assert found.worked == ()


def test_the_exposure_rules_have_the_same_figures_for_a_reader_who_may_not_see_the_answers() -> None:
    assessment = assessed(*every_topic("zone:sis", "not-met"), *every_topic("zone:field", "not-met"))
    hidden = redaction._redacted_results(assessment, frozenset(), counts=False)  # noqa: SLF001
    for key in assessment.plant.functions:
        expected = exposure_opinions.by_exposure_rule(assessment, key)
        assert exposure_opinions.by_exposure_rule(hidden, key) == expected
