"""A rule over many cases fails where one test per case would."""

from __future__ import annotations

import pytest

from tests.rule import Rule


def _all_odd(*numbers: int) -> None:
    with Rule() as rule:
        for number in numbers:
            with rule.case(f"case {number}"):
                assert number % 2


def _all_refused(*texts: str) -> None:
    with Rule() as rule:
        for text in texts:
            with rule.case(text), pytest.raises(ValueError, match="invalid literal"):
                int(text)


def _all_divide(*numbers: float) -> None:
    with Rule() as rule:
        for number in numbers:
            with rule.case(number):
                assert 1 / number


def test_a_failure_names_every_case_that_breaks_the_rule_and_no_other() -> None:
    with pytest.raises(AssertionError) as failure:
        _all_odd(1, 2, 3, 4)
    head, *lines = str(failure.value).splitlines()
    assert head == "2 of 4 cases"
    assert [line.split(" (line ")[0] for line in lines if line.startswith("case ")] == ["case 2", "case 4"]
    assert "assert (2 % 2)" in str(failure.value)


def test_a_refusal_that_does_not_come_breaks_the_rule() -> None:
    with pytest.raises(AssertionError, match=r"^1 of 2 cases\n1 \(line \d+\):\n    DID NOT RAISE"):
        _all_refused("x", "1")


def test_an_error_breaks_the_rule_for_its_case_and_shows_where_it_came_from() -> None:
    with pytest.raises(AssertionError, match=r"^2 of 3 cases\n0 \(line \d+\):\n    ZeroDivisionError") as failure:
        _all_divide(0, 1, 0.0)
    assert isinstance(failure.value.__cause__, ZeroDivisionError)


def test_a_key_press_ends_the_run() -> None:
    with pytest.raises(KeyboardInterrupt), Rule() as rule, rule.case("case 1"):
        raise KeyboardInterrupt


def test_a_rule_without_a_case_fails() -> None:
    with pytest.raises(AssertionError, match="the rule guards nothing"), Rule():
        pass


def test_a_rule_that_every_case_keeps_passes() -> None:
    _all_odd(1, 3)
    _all_refused("x", "y")
