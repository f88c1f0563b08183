"""One test for one rule over many cases: a failure names every case that breaks the rule."""

from __future__ import annotations

import traceback
from textwrap import indent
from types import TracebackType
from typing import Self

import pytest

BROKEN = (Exception, pytest.fail.Exception)
"""What ends a test as failed; ``pytest.raises`` raises the second, which is no Exception."""


class Case:
    """One case of a rule: what fails inside is kept under its name, and the next case is looked at."""

    def __init__(self, name: object, broken: dict[str, BaseException]) -> None:
        self._name, self._broken = name, broken

    def __enter__(self) -> None:
        """Nothing to prepare."""

    def __exit__(self, _: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> bool:
        """Keep a failure; let pass what ends the whole run, such as a key press."""
        if not isinstance(error, BROKEN):
            return False
        line = traceback.extract_tb(at, limit=1)[0].lineno
        text = str(error) if isinstance(error, AssertionError | pytest.fail.Exception) else repr(error)
        self._broken[f"{self._name} (line {line}):\n{indent(text, '    ')}"] = error
        return True


class Rule:
    """Fails at its end with every case that broke it, or where there was no case at all.

    ``with Rule() as rule:`` around a loop, ``with rule.case(name):`` around the assertions on one case.
    """

    def __init__(self) -> None:
        self._cases, self._broken = 0, dict[str, BaseException]()

    def __enter__(self) -> Self:
        """The rule, which hands out its cases."""
        return self

    def __exit__(self, _: type[BaseException] | None, error: BaseException | None, _at: TracebackType | None) -> None:
        """Raise AssertionError with the broken cases, unless another error is on its way."""
        if error is not None:
            return
        assert self._cases, "no case was looked at: the rule guards nothing"
        if self._broken:
            first = next(iter(self._broken.values()))
            told = "\n".join(self._broken)
            raise AssertionError(f"{len(self._broken)} of {self._cases} cases\n{told}") from first

    def case(self, name: object) -> Case:
        """One case, by a name that a reader can find it by."""
        self._cases += 1
        return Case(name, self._broken)
