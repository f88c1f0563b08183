"""One test for one rule over many cases: a failure names every case that breaks the rule."""

from __future__ import annotations

import traceback
from textwrap import indent
from types import TracebackType
from typing import Self

import pytest

BROKEN = (AssertionError, pytest.fail.Exception)
"""What an assertion and ``pytest.raises`` raise."""


class Case:
    """One case of a rule: a failed assertion inside is kept under its name, and the next case is looked at."""

    def __init__(self, name: object, broken: list[str]) -> None:
        self._name, self._broken = name, broken

    def __enter__(self) -> None:
        """Nothing to prepare."""

    def __exit__(
        self, _kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None
    ) -> bool:
        """Keep a failed assertion; name the case beside any other error, which ends the test."""
        if isinstance(error, BROKEN):
            line = traceback.extract_tb(at, limit=1)[0].lineno
            self._broken.append(f"{self._name} (line {line}):\n{indent(str(error), '    ')}")
            return True
        if error is not None:
            error.add_note(f"at {self._name}")
        return False


class Rule:
    """Fails at its end with every case that broke it, or where there was no case at all.

    ``with Rule() as rule:`` around a loop, ``with rule.case(name):`` around the assertions on one case.
    """

    def __init__(self) -> None:
        self._cases, self._broken = 0, list[str]()

    def __enter__(self) -> Self:
        """The rule, which hands out its cases."""
        return self

    def __exit__(self, _kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        """Raise AssertionError with the broken cases, unless another error is on its way."""
        if error is None:
            assert self._cases, "no case was looked at: the rule guards nothing"
            assert not self._broken, f"{len(self._broken)} of {self._cases} cases\n" + "\n".join(self._broken)

    def case(self, name: object) -> Case:
        """One case, by a name that a reader can find it by."""
        self._cases += 1
        return Case(name, self._broken)
