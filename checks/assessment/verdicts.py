"""Two verdicts on every function, never one: with common cause, then with the cyber scenario (a house rule).

A house rule alone never fails a function. The obstacle between a function and its target follows from the four cases.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from checks.assessment.results import FunctionResult
from checks.text.number_format import factor, measure
from scoring.erosion import Cases

Case = Literal["scored", "adjusted"]
CASES: dict[Case, str] = {"scored": "with common cause", "adjusted": "with the cyber scenario"}
"""The two cases on which a verdict is given, in the order of the sentences."""
WORTH = 1.5
"""Factor below which redundancy counts as gaining hardly anything (house rule)."""

Standing = Literal["meets", "at", "short"]
Obstacle = Literal["", "redundancy", "common cause", "cyber scenario"]


def standing(function: FunctionResult, case: str) -> Standing:
    """Whether a case meets the target. A result equal to it at the shown precision is at the target."""
    result = getattr(function.cases, case)
    if measure(function.demand, result) == measure(function.demand, function.limit):
        return "at"
    return "meets" if result <= function.limit else "short"


def falls_short(function: FunctionResult, case: str) -> bool:
    """Whether a result falls visibly short of the target."""
    return standing(function, case) == "short"


def unknown(function: FunctionResult, case: str) -> bool:
    """Whether a case is not known: an unreviewed zone must not show as a good result."""
    return case == "adjusted" and bool(function.unreviewed) and not falls_short(function, case)


def in_words(function: FunctionResult, case: str) -> str:
    """Verdict in a case, such as ``meets the target by a factor 1.2``."""
    if unknown(function, case):
        return f"is not known: nobody has reviewed the zone of {', '.join(function.unreviewed)}"
    margin = function.limit / getattr(function.cases, case)
    state = standing(function, case)
    if state == "at":
        return "is at the target"
    return (
        f"meets the target by a factor {factor(margin)}"
        if state == "meets"
        else f"falls short of the target by a factor {factor(1.0 / margin)}"
    )


def in_short(function: FunctionResult, case: str) -> str:
    """Verdict in a case, for a table cell."""
    if unknown(function, case):
        return "not reviewed"
    return {"meets": "meets the target", "at": "at the target", "short": "falls short"}[standing(function, case)]


IN_DOUBT = 0.05
"""Probability that the verdict with common cause is wrong, from which on it counts as lying inside the band (5 % to 95 %)."""


def doubt(function: FunctionResult, misses: float) -> float:
    """Probability that the verdict with common cause is wrong, from that of missing the target."""
    return 1.0 - misses if falls_short(function, "scored") else misses


def odds(probability: float) -> str:
    """A probability in words.

    >>> [odds(probability) for probability in (0.01, 0.26, 0.43, 0.97)]
    ['under 1 in 20', '1 in 4', '4 in 10', 'over 9 in 10']
    """
    if probability < IN_DOUBT:
        return "under 1 in 20"
    if probability > 1.0 - IN_DOUBT:
        return "over 9 in 10"
    return f"1 in {1.0 / probability:.0f}" if probability < 0.28 else f"{10.0 * probability:.0f} in 10"


def with_doubt(function: FunctionResult, misses: float, mostly: str) -> str:
    """Verdict with common cause and the probability of the contrary, with the input that it mostly rests on.

    Such as ``meets the target by a factor 1.2; 1 in 4 that it does not, mostly for the failure rates of ESV``.
    """
    cause = f", mostly for {mostly}" if doubt(function, misses) >= IN_DOUBT and mostly else ""
    return f"{in_words(function, 'scored')}; {contrary(function, misses)}{cause}"


def contrary(function: FunctionResult, misses: float) -> str:
    """The odds that the verdict with common cause is wrong, such as ``1 in 4 that it does not``."""
    words = {"meets": "it does not", "at": "it falls short", "short": "it meets it"}[standing(function, "scored")]
    return f"{odds(doubt(function, misses))} that {words}"


def both_verdicts(function: FunctionResult) -> str:
    """Both verdicts, one sentence each."""
    return (
        f"With common cause it {in_words(function, 'scored')}. "
        f"With the cyber scenario (house rule) it {in_words(function, 'adjusted')}."
    )


def obstacle(function: FunctionResult) -> Obstacle:
    """The obstacle between a function and its target; empty where all cases meet it."""
    if falls_short(function, "ideal"):
        return "redundancy"
    if falls_short(function, "scored"):
        return "common cause"
    return "cyber scenario" if falls_short(function, "adjusted") else ""


def summary(functions: Iterable[FunctionResult]) -> list[str]:
    """Sentences on all functions of a plant or system: how many fall short in each case, and the obstacles."""
    listed = list(functions)
    if not listed:
        return []
    short = {case: sum(falls_short(function, case) for function in listed) for case in CASES}
    count = len(listed)
    which = "function falls" if count == 1 else "functions fall"
    beyond = [function for function in listed if outside_range(function)]
    sentences = [
        (
            f"{short['scored'] or 'None'} of {count} {which} short of the target with common cause, "
            f"{short['adjusted'] or 'none'} with the cyber scenario."
        )
    ]
    for cause, words in OBSTACLES.items():
        names = [function.id for function in listed if obstacle(function) == cause]
        if names:
            sentences.append(
                words.format(names=_listed(names), their="its target" if len(names) == 1 else "their targets")
            )
    if beyond:
        sentences.append(beyond_range(beyond))
    return sentences


def beyond_range(functions: Sequence[FunctionResult]) -> str:
    """Sentence on functions outside the range of the equations; the reason that a PFD gives holds in low demand only."""
    low = any(function.demand == "low" for function in functions)
    reason = "a PFD above 1 is no probability, and " if low else ""
    return (
        f"The equations do not hold for {_listed([function.id for function in functions])}: {reason}common cause cannot improve a "
        "result. Check the rates, test intervals and repair times."
    )


def outside_range(function: FunctionResult) -> bool:
    """Whether a result itself shows that the data lie outside the range of the equations."""
    cases = function.cases
    impossible = function.demand == "low" and max(cases.single, cases.scored, cases.adjusted) > 1.0
    return impossible or min(cases.scored, cases.adjusted) < cases.ideal * (1.0 - 1e-9)


OBSTACLES: dict[Obstacle, str] = {
    "redundancy": "More than redundancy is missing at {names}: even without common cause the target is out of reach.",
    "common cause": "Common cause stands between {names} and {their}: without it the redundancy would be enough.",
    "cyber scenario": "Only the cyber scenario, a house rule, stands between {names} and {their}.",
}


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def share_kept(cases: Cases) -> float | None:
    """Share of the decades gained by redundancy that is kept; None where it gains hardly anything, or more than all is kept."""
    if cases.benefit_ideal < WORTH or cases.adjusted < cases.ideal * (1.0 - 1e-9):
        return None
    return cases.share_kept
