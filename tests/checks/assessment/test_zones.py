"""Levels, requirements asked and gap list of a zone (IEC 62443-3-3)."""

from __future__ import annotations

import pytest

from checks.assessment.assessment import Assessment
from checks.assessment.results import Gap, ZoneResult
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import FIRST, banks
from scoring import levels
from tests.checks.given import answer, every_topic, plain

NEVER_LEFT_OUT = {"A07", "D03", "P01", "P03", "P04", "P07"}
"""Topics that name no requirement."""


def _zone(target: dict[str, int], *answers: Answer) -> ZoneResult:
    raw = plain()
    raw["answers"], raw["zones"]["sis"]["sl_target"] = [], target
    return Assessment(Plant.model_validate(raw)).with_answers(answers).zone("sis")


def _of_zone(**values: str) -> list[Answer]:
    return [answer(name, "zone:sis", value) for name, value in values.items()]


def _gaps(zone: ZoneResult) -> dict[str, Gap]:
    return {gap.question: gap for gap in zone.gaps}


def _indicated(zone: ZoneResult) -> dict[str, int]:
    return {fr: level.indicated for fr, level in zone.levels.items()}


def test_topics_without_a_requirement_are_those_that_the_tests_expect() -> None:
    assert {topic.id for topic in banks(FIRST).cyber.values() if not topic.requirements} == NEVER_LEFT_OUT


def test_a_zone_that_nobody_reviewed_has_no_gap_list_and_nothing_asked() -> None:
    zone = _zone({"RDF": 3})
    assert (zone.reviewed, zone.gaps, zone.asked, zone.not_asked) == (False, (), 0, 100)
    assert set(_indicated(zone).values()) == {4}
    assert all(level.asked == 0 for level in zone.levels.values())


def test_an_answered_topic_asks_the_requirements_that_it_names_and_no_others() -> None:
    zone = _zone({"RDF": 3, "RA": 1}, *_of_zone(Z01="met"))  # SR 5.1, SR 5.1 RE 1
    assert (zone.asked, zone.not_asked) == (2, 98)
    assert zone.levels["RDF"].asked == 2


def test_a_requirement_is_met_only_when_every_topic_that_names_it_is_met() -> None:
    """SR 7.7, needed from level 1, is named by Z12 and W01."""
    assert banks().topics_of_requirement["SR 7.7"] == ("Z12", "W01")
    assert _indicated(_zone({}, *_of_zone(Z12="met", W01="met")))["RA"] == 4
    assert _indicated(_zone({}, *_of_zone(Z12="met", W01="equivalent")))["RA"] == 4
    assert _indicated(_zone({}, *_of_zone(Z12="met", W01="not-applicable")))["RA"] == 4
    for value in ("partly", "not-met", "unknown"):
        assert _indicated(_zone({}, *_of_zone(Z12="met", W01=value)))["RA"] == 0
    assert _indicated(_zone({}, *_of_zone(Z12="met")))["RA"] == 0  # W01 was not answered


def test_the_indicated_level_is_the_largest_below_the_first_unmet_requirement() -> None:
    """Z04 covers SR 5.2 (from level 1) and its RE 1 (from level 2); Z07 covers SR 5.2 RE 2 (from level 3)."""
    other_topics = every_topic("zone:sis", "met")
    both = _zone({"RDF": 3}, *other_topics, *_of_zone(Z04="met", Z07="met"))
    assert (_indicated(both)["RDF"], both.short) == (4, {"RDF": 0})
    lower = _zone({"RDF": 3}, *other_topics, *_of_zone(Z04="met", Z07="not-met"))
    assert (_indicated(lower)["RDF"], lower.short) == (2, {"RDF": 1})
    none = _zone({"RDF": 3}, *other_topics, *_of_zone(Z04="not-met", Z07="met"))
    assert (_indicated(none)["RDF"], none.short) == (0, {"RDF": 3})


@pytest.mark.parametrize(
    ("value", "indicated"),
    [("met", 4), ("equivalent", 4), ("not-applicable", 4), ("partly", 1), ("not-met", 1), ("unknown", 1)],
)
def test_a_requirement_can_be_answered_directly(value: str, indicated: int) -> None:
    """SR 7.8 is needed from level 2."""
    zone = _zone({"RA": 2}, answer("SR 7.8", "zone:sis", value))
    assert (_indicated(zone)["RA"], zone.levels["RA"].asked) == (indicated, 1)


def test_a_direct_answer_to_a_requirement_overrides_its_topics() -> None:
    unmet = _of_zone(Z02="not-met", W04="not-met")
    assert _indicated(_zone({}, *unmet, answer("SR 7.8", "zone:sis"), answer("SR 7.6", "zone:sis")))["RA"] == 4
    met = _of_zone(Z02="met", W04="met", Z03="met")
    assert _indicated(_zone({}, *met, answer("SR 7.8", "zone:sis", "not-met")))["RA"] == 1


def test_levels_missing_are_kept_apart_and_never_below_zero() -> None:
    zone = _zone({"IAC": 0, "RDF": 4, "RA": 2, "TRE": 1}, *_of_zone(Z02="not-met", Z04="met"))
    assert zone.short == {"IAC": 0, "RDF": 4, "TRE": 0, "RA": 1}
    assert list(zone.target) == ["IAC", "RDF", "TRE", "RA"]  # in the order of the standard


def test_with_every_requirement_answered_nothing_is_left_to_ask() -> None:
    direct = [answer(name, "zone:sis") for name in banks().requirements]
    zone = _zone(dict.fromkeys(levels.FOUNDATIONAL, 4), *direct)
    assert (zone.asked, zone.not_asked) == (100, 0)
    assert set(zone.short.values()) == {0}


def test_answers_to_topics_alone_leave_requirements_that_no_topic_names_unasked() -> None:
    zone = _zone({}, *every_topic("zone:sis", "met"))
    named = {name for topic in banks(FIRST).cyber.values() for name in topic.requirements}
    assert (zone.asked, zone.not_asked) == (len(named), 100 - len(named))


def test_a_topic_is_a_gap_only_where_a_requirement_of_it_is_needed_at_the_target() -> None:
    """Z07 names SR 5.2 RE 2, needed from level 3; L08 names SR 2.1 RE 4, needed at level 4."""
    open_ones = _of_zone(Z07="not-met", L08="not-met")
    assert "Z07" in _gaps(_zone({"RDF": 3}, *open_ones))
    assert "Z07" not in _gaps(_zone({"RDF": 2}, *open_ones))
    assert "Z07" not in _gaps(_zone({"UC": 4}, *open_ones))
    assert "L08" in _gaps(_zone({"UC": 4}, *open_ones))
    assert "L08" not in _gaps(_zone({"UC": 3}, *open_ones))


def test_a_topic_of_two_requirements_is_a_gap_when_either_is_needed() -> None:
    """Z05 names SR 5.2 (RDF, from level 1) and SR 2.1 RE 1 (UC, from level 2)."""
    assert "Z05" in _gaps(_zone({"UC": 2}, *_of_zone(Z05="not-met")))
    assert "Z05" in _gaps(_zone({"RDF": 1}, *_of_zone(Z05="not-met")))
    assert "Z05" not in _gaps(_zone({"UC": 1, "RDF": 0}, *_of_zone(Z05="not-met")))


def test_a_topic_without_a_requirement_is_required_whatever_the_target() -> None:
    assert set(_gaps(_zone({}, *_of_zone(Z01="met")))) == NEVER_LEFT_OUT
    closed = [answer(name, "zone:sis") for name in NEVER_LEFT_OUT]
    assert _gaps(_zone({}, *_of_zone(Z01="not-met"), *closed)) == {}


@pytest.mark.parametrize(
    ("value", "gap"),
    [
        ("met", False),
        ("equivalent", False),
        ("not-applicable", False),
        ("partly", True),
        ("not-met", True),
        ("unknown", True),
    ],
)
@pytest.mark.parametrize("name", ["Z01", "P01", "SR 5.1"])
def test_what_is_met_or_does_not_apply_is_no_gap(name: str, value: str, gap: bool) -> None:  # noqa: FBT001
    gaps = _gaps(_zone({"RDF": 2}, answer("Z02", "zone:sis"), answer(name, "zone:sis", value)))
    assert (name in gaps) == gap
    assert not gap or gaps[name].value == value


def test_a_topic_that_nobody_answered_is_a_gap_of_unknown_value_once_the_review_has_begun() -> None:
    gap = _gaps(_zone({"RDF": 1}, *_of_zone(Z02="met")))["Z01"]
    assert (gap.value, gap.weight, gap.fr, gap.requirements) == ("unknown", 3, ("RDF",), ("SR 5.1", "SR 5.1 RE 1"))
    assert (gap.is_topic, gap.action) == (True, banks().cyber["Z01"].action)


def test_a_requirement_is_a_gap_only_where_it_was_answered_itself_and_is_needed() -> None:
    begun = _of_zone(Z02="met")
    assert not any(name.startswith("SR") for name in _gaps(_zone({"RA": 4}, *begun)))
    unmet = answer("SR 7.7", "zone:sis", "not-met")
    gap = _gaps(_zone({"RA": 1}, *begun, unmet))["SR 7.7"]
    assert (gap.is_topic, gap.fr, gap.requirements) == (False, ("RA",), ("SR 7.7",))
    assert "SR 7.7" not in _gaps(_zone({"RA": 0}, *begun, unmet))


def test_a_zone_inherits_the_answers_of_the_plant_but_not_those_of_a_group() -> None:
    zone = _zone({}, answer("Z02", "zone:sis"), answer("P03", "plant"), answer("P01", "group:ls-sis"))
    assert "P03" not in _gaps(zone)
    assert "P01" in _gaps(zone)


def test_a_zone_reaches_the_functions_whose_groups_lie_in_it() -> None:
    zone = _zone({})
    assert set(zone.groups) == {"ls-sis", "esv-301"}
    assert set(zone.reach) == {"SIF-301", "SIF-401"}


def test_a_zone_without_groups_reaches_nothing() -> None:
    raw = plain()
    zone = Assessment(Plant.model_validate(raw)).zone("bpcs")
    assert (zone.groups, zone.reach, zone.reviewed) == ((), (), False)
