"""States of the valid plant for comparisons: changes that keep the plant valid, and helpers to read the outcome."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from hypothesis import strategies as st

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.comparison.comparison import Comparison, FunctionChange
from checks.comparison.differences import DataFact, Fact
from checks.plantfile import consistency
from checks.plantfile.plant import Answer, Plant
from tests.checks.draws import answers
from tests.checks.given import plain

Raw = dict[str, Any]


def other_rates(raw: Raw) -> None:
    raw["devices"]["PT"]["lambda_du_fit"] = 900
    raw["devices"]["ESV"]["lambda_dd_fit"] = 0


def other_tests(raw: Raw) -> None:
    raw["groups"]["pt-301"]["proof_test"]["interval_h"] = 4380
    raw["groups"]["esv-301"]["proof_test"] = {"interval_h": 87600, "coverage": 0.8, "full_interval_h": 175200}


def a_partial_test(raw: Raw) -> None:
    raw["groups"]["ls-sis"]["proof_test"] |= {"coverage": 0.9, "full_interval_h": 175200}


def another_voting(raw: Raw) -> None:
    raw["groups"]["esv-301"] |= {"voting": "2oo3", "channels": [["SOV", "ESV"]] * 3}


def voting_of_another_convention(raw: Raw) -> None:
    raw["conventions"]["voting_factor"] = "pds-2013"
    raw["groups"]["con-210"] |= {"voting": "1oo6", "channels": [["CON"]] * 6}


def no_exposure(raw: Raw) -> None:
    raw["conventions"]["exposure_rule"] = "none"


def a_device_replaced(raw: Raw) -> None:
    del raw["devices"]["TT"]
    raw["devices"]["TX"] = {"lambda_du_fit": 100}
    raw["groups"]["tt-401"]["channels"] = [["TX"]]


def a_group_added(raw: Raw) -> None:
    raw["devices"]["XV"] = {"lambda_du_fit": 50}
    raw["zones"]["new"] = {}
    test = {"interval_h": 8760}
    group = {"part": "final", "voting": "1oo1", "channels": [["XV"]], "zone": "new", "mttr_h": 8, "mrt_h": 8}
    raw["groups"]["xv-1"] = {**group, "proof_test": test}
    raw["functions"]["SIF-401"]["groups"] = ["tt-401", "ls-sis", "xv-1"]


def a_group_dropped(raw: Raw) -> None:
    del raw["groups"]["pos-210"]
    raw["functions"]["SIF-210"]["groups"] = ["con-210"]


def moved_to_another_system(raw: Raw) -> None:
    raw["systems"]["S30"]["functions"] = ["SIF-301", "SIF-401"]
    raw["systems"]["S40"]["functions"] = ["SIF-210"]


def a_function_that_shares_the_solver(raw: Raw) -> None:
    raw["functions"]["SIF-500"] = {"demand": "low", "target_rrf": 10, "groups": ["ls-sis"]}
    raw["systems"]["S50"] = {"functions": ["SIF-500"]}


def high_demand(raw: Raw) -> None:
    raw["functions"]["SIF-301"] = {"demand": "high", "target_pfh": 1e-6, "groups": ["pt-301", "ls-sis", "esv-301"]}


def another_zone(raw: Raw) -> None:
    raw["groups"]["pt-301"]["zone"] = "sis"


def a_specified_beta(raw: Raw) -> None:
    raw["groups"]["ls-sis"]["stated_beta"] = {"beta": 0.02, "beta_d": 0.01}
    del raw["groups"]["con-210"]["stated_beta"]


def other_words(raw: Raw) -> None:
    raw["plant"]["note"] = "second review"
    raw["groups"]["pt-301"] |= {"name": "Pressure", "tags": ["A", "B", "C"]}
    raw["functions"]["SIF-401"]["target_rrf"] = 40
    raw["zones"]["sis"]["sl_target"] = {"IAC": 1}


EDITS: tuple[Callable[[Raw], None], ...] = (
    other_rates,
    other_tests,
    a_partial_test,
    another_voting,
    voting_of_another_convention,
    no_exposure,
    a_device_replaced,
    a_group_added,
    a_group_dropped,
    moved_to_another_system,
    a_function_that_shares_the_solver,
    high_demand,
    another_zone,
    a_specified_beta,
    other_words,
)


@cache
def edited(*edits: Callable[[Raw], None]) -> Plant:
    """The valid plant without answers, changed; the result is valid too."""
    raw = plain()
    raw["answers"] = []
    for edit in edits:
        edit(raw)
    faults = [str(fault) for _, fault in consistency.faults(raw)]
    assert faults == [], faults
    return Plant.model_validate(raw)


def state(*edits: Callable[[Raw], None], given_answers: Iterable[Answer] = ()) -> Assessment:
    """The valid plant with changes and with these answers only; addressees that the plant no longer has are allowed."""
    return Assessment(edited(*edits), Answers(given_answers))


def named_fact(fact: Fact) -> str:
    """A fact as text: the place, or the question and its addressee."""
    return fact.place if isinstance(fact, DataFact) else f"{fact.question} of {fact.of}"


def change(comparison: Comparison, key: str) -> FunctionChange:
    """One function of a comparison."""
    return next(function for function in comparison.functions if function.id == key)


def named(comparison: Comparison, key: str) -> list[list[str]]:
    """The facts of each step of a function, as text."""
    return [[named_fact(fact) for fact in step.facts] for step in change(comparison, key).steps]


drawn = st.builds(
    lambda edits, drawn_answers: state(*edits, given_answers=drawn_answers),
    st.lists(st.sampled_from(EDITS), unique=True, max_size=6),
    st.lists(answers(), max_size=10, unique_by=lambda answer: (answer.question, answer.of)),
)
"""States of the valid plant: some of the changes, and some answers."""
