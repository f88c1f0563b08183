"""Security answers to exposure and adjusted beta (house rule, model section 4), by plain arithmetic."""

from __future__ import annotations

from math import prod
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from checks.plantfile.plant import Answer
from checks.questions.bank import FOLDER, banks
from scoring import exposure
from tests.checks.draws import answers
from tests.checks.given import answer, assessed, every_topic

CLASS = {3: 0.15, 2: 0.05, 1: 0.015}
SHARE = {"met": 0.0, "equivalent": 0.0, "partly": 0.5, "not-met": 1.0, "unknown": 1.0}
TOPICS: dict[str, dict[str, Any]] = {
    topic["id"]: topic
    for path in sorted((FOLDER / "cyber" / "edition-1").glob("*.yaml"))
    for topic in yaml.safe_load(path.read_text(encoding="utf-8"))["questions"]
}
PARTS = {"pt-301": "sensor", "ls-sis": "logic", "esv-301": "final"}
ZONES = {"pt-301": "zone:field", "ls-sis": "zone:sis", "esv-301": "zone:sis"}


def _by_hand(part: str, values: dict[str, str]) -> float:
    """Exposure g = 1 - product of (1 - c a) over the topics that name the part, or none of sensor, logic, final."""
    unexposed = 1.0
    for name, topic in TOPICS.items():
        named = {"sensor", "logic", "final"} & set(topic["elements"])
        value = values.get(name, "unknown")
        if (part in named or not named) and value != "not-applicable":
            unexposed *= 1.0 - CLASS[topic["weight"]] * SHARE[value]
    return 1.0 - unexposed


def _all_but(of: str, **others: str) -> list[Answer]:
    return [answer(name, of, others.get(name, "met")) for name in TOPICS]


def test_the_topics_are_read() -> None:
    assert len(TOPICS) == 60


@pytest.mark.parametrize(
    ("key", "others", "g"),
    [
        ("ls-sis", {}, 0.0),
        ("ls-sis", {"Z01": "not-met"}, 0.15),
        ("ls-sis", {"Z01": "partly"}, 0.075),
        ("ls-sis", {"Z01": "unknown"}, 0.15),
        ("ls-sis", {"Z01": "equivalent"}, 0.0),
        ("ls-sis", {"Z01": "not-applicable"}, 0.0),
        ("ls-sis", {"Z02": "not-met"}, 0.015),  # network, procedure: reaches every part
        ("ls-sis", {"Z01": "not-met", "Z06": "partly"}, 1 - 0.85 * 0.975),
        ("ls-sis", {"Z01": "not-met", "Z06": "not-met", "Z02": "partly"}, 1 - 0.85 * 0.95 * 0.9925),
        ("ls-sis", {"S01": "not-met", "F01": "not-met", "F02": "not-met"}, 0.0),  # sensors, final elements
        ("pt-301", {"S01": "not-met"}, 0.15),
        ("pt-301", {"L04": "not-met"}, 0.0),  # logic only
        ("pt-301", {"Z11": "not-met", "W01": "not-met"}, 1 - 0.85 * 0.85),
        ("esv-301", {"F02": "not-met", "A07": "not-met"}, 1 - 0.95 * 0.985),
        ("esv-301", {"L11": "partly", "L12": "not-met"}, 0.025),
    ],
)
def test_exposure_is_one_minus_the_product_over_the_topics_of_the_part(
    key: str, others: dict[str, str], g: float
) -> None:
    assert assessed(*_all_but(ZONES[key], **others)).group(key).exposure == pytest.approx(g, abs=1e-12)


@pytest.mark.parametrize("key", PARTS)
def test_once_a_review_has_begun_a_topic_that_nobody_answered_counts_as_unknown(key: str) -> None:
    for name, value in (("Z01", "met"), ("D02", "partly"), ("Z03", "unknown")):
        g = assessed(answer(name, ZONES[key], value)).group(key).exposure
        assert g == pytest.approx(_by_hand(PARTS[key], {name: value}), abs=1e-12)


@pytest.mark.parametrize(
    "given_answers",
    [
        [],
        [answer("P03", "plant")],
        [answer("SR 5.1", "zone:sis", "not-met")],
        [answer("Z01", "group:ls-sis", "not-met")],
        [answer("Z01", "zone:field", "not-met")],
        [answer("CMP1", "plant"), answer("SEP1", "group:ls-sis")],
    ],
)
def test_a_zone_never_reviewed_has_no_exposure_and_beta_stays_as_scored(given_answers: list[Answer]) -> None:
    result = assessed(*given_answers).group("ls-sis")
    assert result.exposure is None
    assert result.betas is not None
    assert (result.betas.beta_adjusted, result.betas.beta_d_adjusted) == (result.betas.beta, result.betas.beta_d)
    assert result.pfd.adjusted == result.pfd.scored


def test_a_group_in_no_zone_has_no_exposure() -> None:
    assert assessed(*every_topic("zone:sis", "not-met")).group("pos-210").exposure is None


def test_a_group_without_software_has_an_exposure_of_zero() -> None:
    result = assessed(*every_topic("group:con-210", "not-met")).group("con-210")
    assert result.exposure == 0.0
    assert result.pfd.adjusted == result.pfd.scored


def test_without_an_exposure_rule_beta_is_not_adjusted() -> None:
    result = assessed(*every_topic("zone:sis", "not-met"), exposure_rule="none").group("ls-sis")
    assert result.exposure is None
    assert result.pfd.adjusted == result.pfd.scored


def test_an_answer_of_the_group_or_the_plant_counts_beside_those_of_the_zone() -> None:
    own = [answer("Z01", "group:ls-sis", "met"), answer("P03", "plant", "met")]
    g = assessed(answer("Z01", "zone:sis", "not-met"), *own).group("ls-sis").exposure
    assert g == pytest.approx(_by_hand("logic", {"Z01": "met", "P03": "met"}), abs=1e-12)


@pytest.mark.parametrize(("key", "cap", "k"), [("pt-301", 0.10, 1.5), ("ls-sis", 0.05, 1.0), ("esv-301", 0.10, 1.0)])
def test_the_adjusted_beta_moves_from_the_scored_class_towards_the_worst_one(key: str, cap: float, k: float) -> None:
    scored = [answer(name, f"group:{key}") for name in banks().common_cause if name[:3] not in ("SEP", "ENV")]
    result = assessed(*scored, *_all_but(ZONES[key], Z04="not-met", Z06="partly")).group(key)
    betas, g = result.betas, result.exposure
    assert betas is not None
    assert g is not None
    assert 0.0 < g < 1.0
    assert betas.beta_int < cap
    assert betas.beta_adjusted == pytest.approx(k * betas.beta_int * (cap / betas.beta_int) ** g, rel=1e-12)
    assert betas.beta_d_adjusted == pytest.approx(k * betas.beta_d_int * (cap / betas.beta_d_int) ** g, rel=1e-12)


def test_a_beta_that_is_at_the_worst_class_already_cannot_be_raised() -> None:
    result = assessed(*every_topic("zone:sis", "not-met")).group("ls-sis")
    assert result.betas is not None
    assert result.betas.beta_adjusted == result.betas.beta == 0.05


@pytest.mark.parametrize("name", ["Z01", "Z02", "Z06", "L04", "D05"])
@pytest.mark.parametrize("value", ["not-met", "partly"])
def test_closing_a_gap_takes_its_factor_out_of_the_product(name: str, value: str) -> None:
    """With it closed g' = 1 - (1 - g) / (1 - c a)."""
    others = {"Z04": "not-met", "W05": "partly", name: value}
    before = assessed(*_all_but("zone:sis", **others))
    after = before.with_answers([answer(name, "zone:sis")]).group("ls-sis").exposure
    g, c, a = before.group("ls-sis").exposure, CLASS[TOPICS[name]["weight"]], SHARE[value]
    assert g is not None
    assert after == pytest.approx(1 - (1 - g) / (1 - c * a), abs=1e-12)
    assert exposure.closed(g, TOPICS[name]["weight"], a) == pytest.approx(after, abs=1e-12)


@settings(deadline=None, max_examples=60)
@given(given_answers=st.lists(answers(), max_size=60))
def test_whatever_is_answered_exposure_is_the_product_and_only_ever_raises_beta(given_answers: list[Answer]) -> None:
    assessment = assessed(answer("Z02", "zone:sis"), answer("Z02", "zone:field"), *given_answers)
    for key, part in PARTS.items():
        result = assessment.group(key)
        values = {name: applied.value for name, applied in result.answers.items() if name in TOPICS}
        assert result.exposure == pytest.approx(_by_hand(part, values), abs=1e-12)
        assert result.betas is not None
        assert result.betas.beta <= result.betas.beta_adjusted <= 1.0
        assert result.betas.beta_d <= result.betas.beta_d_adjusted <= 1.0


def test_the_worst_exposure_is_that_of_every_topic_unmet() -> None:
    worst = 1 - prod(1 - CLASS[topic["weight"]] for topic in TOPICS.values() if "logic" in topic["elements"])
    g = assessed(*every_topic("zone:sis", "not-met")).group("ls-sis").exposure
    assert g is not None
    assert worst < g < 1.0
