"""Facts and results of both states, on the demo plant and on the valid one; selections, editions and trend."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from checks.assessment.assessment import Assessment
from checks.comparison.comparison import Comparison, Point, compare, trend
from checks.comparison.differences import NoSuchFunction
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.questions import bank
from tests.checks.comparison import states
from tests.checks.comparison.states import change, named, state
from tests.checks.given import ROOT, answer, every_topic


@cache
def _demo() -> Plant:
    return plant_file.read(ROOT / "demo" / "quillmarch.yaml")


def _demo_with_a_test_twice_as_often() -> Assessment:
    group = _demo().groups["pt-301"]
    test = group.proof_test.model_copy(update={"interval_h": 4380.0})
    groups = {**_demo().groups, "pt-301": group.model_copy(update={"proof_test": test})}
    return Assessment(_demo().model_copy(update={"groups": groups}))


def _gaps(comparison: Comparison, zone: str) -> list[set[str]]:
    change = next(zone_change for zone_change in comparison.zones if zone_change.id == zone)
    return [{gap.question for gap in gaps} for gaps in (change.opened, change.closed, change.staying)]


def test_a_shorter_interval_of_the_demo_plant_is_one_fact_and_moves_its_own_function_only() -> None:
    comparison = compare(Assessment(_demo()), _demo_with_a_test_twice_as_often())
    (fact,) = comparison.data
    assert (fact.place, fact.old, fact.new) == ("groups.pt-301.proof_test.interval_h", 8760.0, 4380.0)
    users = [key for key, function in _demo().functions.items() if "pt-301" in function.groups]
    assert users == ["SIF-301"]
    assert [changed.id for changed in comparison.functions if changed.steps] == users
    (step,) = change(comparison, "SIF-301").steps
    assert step.gain > 1.0
    assert step.gain_alone == step.gain
    assert change(comparison, "SIF-301").gain == pytest.approx(step.gain)


def test_answers_of_the_demo_plant_close_gaps_and_move_every_programmable_group_of_the_zone() -> None:
    better = [answer("L07", "zone:Z5", evidence="Supplier's values"), answer("D02", "zone:Z5")]
    old, new = Assessment(_demo()), Assessment(_demo()).with_answers([*better, answer("Z01", "zone:Z5", "not-met")])
    comparison = compare(old, new)
    values = [
        (fact.question, fact.of, fact.old and fact.old.value, fact.new and fact.new.value)
        for fact in comparison.answers
    ]
    assert values == [
        ("Z01", "zone:Z5", "met", "not-met"),
        ("L07", "zone:Z5", "not-met", "met"),
        ("D02", "zone:Z5", "not-met", "met"),
    ]
    assert comparison.answers[1].new_evidence == "Supplier's values"
    opened, closed, staying = _gaps(comparison, "Z5")
    assert (opened, closed) == ({"Z01"}, {"L07", "D02"})
    assert {"A01", "P02"} <= staying
    assert named(comparison, "SIF-301") == [["Z01 of zone:Z5"], ["L07 of zone:Z5"], ["D02 of zone:Z5"]]
    assert [step.gain > 1.0 for step in change(comparison, "SIF-301").steps] == [False, True, True]


def test_evidence_is_a_fact_that_moves_nothing() -> None:
    old, new = (
        state(given_answers=[answer("ASM1", "plant")]),
        state(given_answers=[answer("ASM1", "plant", evidence="Minutes")]),
    )
    comparison = compare(old, new)
    (fact,) = comparison.answers
    assert (fact.old_evidence, fact.new_evidence, fact.moves) == ("", "Minutes", False)
    assert not any(function.steps or function.only_alone for function in comparison.functions)


def test_an_added_and_a_withdrawn_answer_have_one_side_only() -> None:
    comparison = compare(
        state(given_answers=[answer("ASM1", "plant")]), state(given_answers=[answer("ASM2", "plant", "partly")])
    )
    first, second = comparison.answers
    assert (first.question, first.new, first.moves) == ("ASM1", None, True)
    assert (second.question, second.old, second.moves) == ("ASM2", None, True)


def test_entities_come_and_go_as_one_fact_each() -> None:
    comparison = compare(state(), state(states.a_group_added))
    assert [(fact.place, fact.old is None) for fact in comparison.data if fact.whole] == [
        ("devices.XV", True),
        ("groups.xv-1", True),
        ("zones.new", True),
    ]
    group = next(candidate for candidate in comparison.groups if candidate.id == "xv-1")
    assert group.old is None
    assert group.new is not None


def test_two_answers_of_which_either_is_enough_count_once_in_order_and_both_alone() -> None:
    """PRO7 and PRO6 are alternatives of Table D.1 (from memory): the better counts alone, the other adds nothing to it.

    Rows of the logic solver: 20 + 3 + 4 + 8 + 3 + 1 + 1.5 + 2.5 + 1 = 44 points, with PRO6 46.5, with PRO7 48; a band of
    Table D.4 begins at 45 (all from memory).
    """
    others = [
        answer(name, "group:ls-sis")
        for name in ("TST1", "SEP1", "SEP2", "DIV1", "DIV7", "CPX1", "CPX2", "CPX3", "CPX4")
    ]
    pair = [answer("PRO6", "group:ls-sis"), answer("PRO7", "group:ls-sis")]
    old, new = state(given_answers=others), state(given_answers=[*others, *pair])
    score = old.group("ls-sis").score
    assert score is not None
    assert score.s == 44.0
    function = change(compare(old, new), "SIF-401")
    assert [states.named_fact(fact) for step in function.steps for fact in step.facts] == ["PRO6 of group:ls-sis"]
    (late,) = function.only_alone
    assert (states.named_fact(late.facts[0]), late.gain, late.moves) == ("PRO7 of group:ls-sis", 1.0, False)
    assert late.gain_alone == pytest.approx(function.steps[0].gain)
    assert function.gain == pytest.approx(function.steps[0].gain)


def test_a_selection_holds_what_belongs_to_it_and_no_more() -> None:
    comparison = compare(state(), state(states.other_tests, states.a_group_added), functions=["SIF-301"])
    assert [both.id for both in comparison.functions] == ["SIF-301"]
    assert [both.id for both in comparison.groups] == ["pt-301", "ls-sis", "esv-301"]
    assert {both.id for both in comparison.zones} == {"field", "sis"}
    assert {fact.at[:2] for fact in comparison.data} == {("groups", "pt-301"), ("groups", "esv-301")}


def test_a_selection_that_names_no_function_is_refused() -> None:
    with pytest.raises(NoSuchFunction, match="no state has SIF-999: select functions of one of the plant files"):
        compare(state(), state(), functions=["SIF-301", "SIF-999"])


def test_a_function_that_came_later_can_be_selected() -> None:
    comparison = compare(state(), state(states.a_function_that_shares_the_solver), functions=["SIF-500"])
    assert [function.id for function in comparison.functions] == ["SIF-500"]


def test_another_edition_of_a_bank_is_a_fact() -> None:
    old = state()
    later = replace(old.editions, chosen_banks=bank.LATEST)
    comparison = compare(old, Assessment(old.plant, old.answers, links=old.links, editions=later))
    assert [(fact.place, fact.old, fact.new) for fact in comparison.editions] == [
        ("conventions.editions.cyber", "edition-1", "edition-2")
    ]
    assert not comparison.nothing


def test_levels_of_both_states_are_compared() -> None:
    """Nothing met is level 0; with every topic met no requirement is left unmet, up to level 4. No topic asks of DC."""
    comparison = compare(*(state(given_answers=every_topic("zone:sis", value)) for value in ("not-met", "met")))
    zone = next(candidate for candidate in comparison.zones if candidate.id == "sis")
    asked = {fr: levels for fr, levels in zone.levels.items() if fr != "DC"}
    assert asked == dict.fromkeys(("IAC", "UC", "SI", "RDF", "TRE", "RA"), (0, 4))


def test_the_trend_has_a_row_for_each_figure_of_each_label() -> None:
    met_but_one = [answer("Z01", "zone:sis", "not-met"), *every_topic("zone:sis", "met")[1:]]
    first, second = state(), state(states.a_function_that_shares_the_solver, given_answers=met_but_one)
    rows = trend({"A": first, "B": second})
    values = {(point.label, point.id, point.measure): point.value for point in rows}
    assert len(values) == len(rows)
    assert {point.label for point in rows} == {"A", "B"}
    for words, case in (("", "scored"), (" with cyber scenario", "adjusted")):
        assert values["A", "SIF-301", f"RRF{words}"] == 1.0 / getattr(first.function("SIF-301").cases, case)
        assert values["A", "SIF-210", f"PFH{words}"] == getattr(first.function("SIF-210").cases, case)
    assert ("A", "SIF-500", "RRF") not in values
    assert ("B", "SIF-500", "RRF") in values
    assert values["A", "tt-401", "beta"] is None
    # 1oo2 logic without a single point: the worst class of IEC 61508-6 Table D.4, 5 %, factor 1 (from memory).
    assert (values["A", "ls-sis", "beta"], values["A", "ls-sis", "beta with cyber scenario"]) == (0.05, 0.05)
    assert (values["A", "sis", "gaps"], values["B", "sis", "gaps"]) == (None, 1.0)


def test_the_trend_of_a_selection_holds_its_functions_only() -> None:
    rows = trend({"A": state()}, functions=["SIF-401"])
    assert {(point.kind, point.id) for point in rows} == {
        ("function", "SIF-401"),
        ("group", "tt-401"),
        ("group", "ls-sis"),
        ("zone", "field"),
        ("zone", "sis"),
    }
    assert Point("A", "zone", "sis", "gaps", None) in rows
