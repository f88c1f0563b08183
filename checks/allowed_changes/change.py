"""A change of one group: the interval or the coverage of one of its tests, or its voting."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from checks.plantfile.equipment import Group
from checks.plantfile.plant import Plant
from checks.text.number_format import NONE
from scoring import voting

What = Literal["interval", "coverage", "voting"]
KINDS: dict[str, What] = {"interval": "interval", "coverage": "coverage", "voting": "voting"}
OVERHAUL = "overhaul"
"""The test that finds the rest, where a proof test has one: its interval may change, its coverage is 1."""
UNIT: dict[What, str] = {"interval": " h", "coverage": "", "voting": ""}


@dataclass(frozen=True, slots=True, order=True)
class GroupChange:
    """A change of a group to a value, as text: hours, a share, a voting.

    ``test`` is empty for the voting and for a proof test, ``overhaul``, or the name of a test; its number where the name names no
    single one.
    """

    group: str
    what: What
    test: str
    to: str

    @property
    def place(self) -> tuple[str, What, str]:
        """What it changes: two changes of one place exclude each other."""
        return self.group, self.what, self.test

    @property
    def of(self) -> str:
        """The addressee of the group."""
        return f"group:{self.group}"

    def __str__(self) -> str:
        test = f", {self.test}" if self.test else ""
        return f"{self.what} of {self.group}{test} to {self.to}{UNIT[self.what]}"


def in_words(change: GroupChange, before: str | None) -> str:
    """A change with the value that it replaces.

    >>> in_words(GroupChange("pt", "interval", "partial stroke", "730"), "2190")
    'interval of pt, partial stroke: 2190 → 730 h'
    """
    test = f", {change.test}" if change.test else ""
    return f"{change.what} of {change.group}{test}: {before or NONE} → {change.to}{UNIT[change.what]}"


def number(text: str) -> str:
    """A number as a change holds it; raises ValueError.

    >>> number("4380.0"), number("0.90")
    ('4380', '0.9')
    """
    if not text.isascii() or "_" in text:
        raise ValueError(text)
    value = float(text)
    return str(int(value)) if value.is_integer() else repr(value)


def tests_of(group: Group) -> tuple[str, ...]:
    """The tests of a group as changes name them, in its order."""
    test = group.proof_test
    if test is not None:
        return ("", OVERHAUL) if test.full_interval_h is not None else ("",)
    names = [each.name.strip() for each in group.tests]
    alike = Counter(name.casefold() for name in names)
    return tuple(
        name if name and alike[name.casefold()] == 1 and not name.isdigit() else str(at)
        for at, name in enumerate(names, start=1)
    )


def present(group: Group, change: GroupChange) -> str | None:
    """The value that a change would replace; None where the group has no such test, or no voting."""
    if change.what == "voting":
        return None if group.voting is None else str(group.voting)
    if change.test not in tests_of(group):
        return None
    if group.proof_test is None:
        test = group.tests[tests_of(group).index(change.test)]
        return number(str(test.interval_h if change.what == "interval" else test.coverage))
    if change.test == OVERHAUL:
        return number(str(group.proof_test.full_interval_h)) if change.what == "interval" else None
    return number(str(group.proof_test.interval_h if change.what == "interval" else group.proof_test.coverage))


def changed(group: Group, changes: Iterable[GroupChange]) -> Group:
    """The group with some changes, of which each has its test. Nothing is checked."""
    for change in changes:
        field = "coverage" if change.what == "coverage" else "interval_h"
        if change.what == "voting":
            group = group.model_copy(update={"voting": voting.read(change.to)})
        elif group.proof_test is not None:
            field = "full_interval_h" if change.test == OVERHAUL else field
            group = group.model_copy(
                update={"proof_test": group.proof_test.model_copy(update={field: float(change.to)})}
            )
        else:
            at = tests_of(group).index(change.test)
            tests = list(group.tests)
            tests[at] = tests[at].model_copy(update={field: float(change.to)})
            group = group.model_copy(update={"tests": tests})
    return group


def changed_plant(plant: Plant, changes: Iterable[GroupChange]) -> Plant:
    """The plant with some changes; a plant that takes part in no check."""
    groups = dict(plant.groups)
    for change in changes:
        groups[change.group] = changed(groups[change.group], [change])
    return plant.model_copy(update={"groups": groups})
