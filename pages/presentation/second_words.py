"""Texts on the second method beside a result, the same on every screen that shows the result."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import log

from checks.analysis.beside_result import Beside, Figures, turns
from checks.analysis.second_opinion import ALIKE
from checks.assessment.results import FunctionResult
from checks.assessment.verdicts import Case
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.uncertainty_words import band_figures
from scoring.method import About

HEAD = "Second method"
WAITING = "…"
"""Stands where the second method is still being computed: the screen is drawn again when it is there."""
NOT_COVERED = "results stated"
NO_FORM = "no form"
NOT_THIS_PROGRAM = "other edition"
"""Why a figure has no second opinion: its groups have stated results only, the method has no form for one of them, or this program
computes other figures."""


def cell(
    function: FunctionResult | None, besides: Mapping[str, Beside] | None, case: Case = "scored", *, named: bool = True
) -> str:
    """The result in a case by the second method and the ratio of the two, ``named`` or bare, or why there is none."""
    if function is None:
        return NONE
    if besides is None:
        return WAITING
    beside = besides.get(function.id)
    if beside is None:
        return NOT_THIS_PROGRAM
    if beside.result is None or beside.ratio is None:
        return NO_FORM if beside.why else NOT_COVERED
    if case == "scored":
        value, over = beside.result[0], beside.ratio
    else:
        value, over = beside.result[1], beside.result[1] / function.cases.adjusted
    return f"{measure(function.demand, value)} ({ratio(function, over) if named else f'× {factor(over)}'})"


def ratio(function: FunctionResult, value: float) -> str:
    """Second method over the first one: that of the PFDavg, which goes the other way than the RRF, or of the PFH."""
    return f"{'PFDavg ' if function.demand == 'low' else ''}× {factor(value)}"


def in_one_line(function: FunctionResult, method: About, figures: Figures) -> str:
    """Method of a result with common cause, its band, and the ratio of the second method, to stand beside it in small print."""
    band, second = WAITING, f"{HEAD.lower()}: {WAITING}"
    if function.id in figures.functions:
        beside = figures.besides[function.id]
        over = (NO_FORM if beside.why else NOT_COVERED) if beside.ratio is None else ratio(function, beside.ratio)
        band, second = band_figures(function, figures.bands.get(function.id)), f"{beside.method.label}: {over}"
    return f"{function.id} with common cause by {method.label}; 5 % to 95 %: {band}; {second}."


def sentence(function: FunctionResult, beside: Beside) -> str:
    """The second method beside one result: value, ratio, why they differ, and whether its verdict is another one."""
    named = f"{HEAD}, {beside.method.label}"
    if beside.result is None or beside.ratio is None:
        return f"{named}: none. {beside.why}" if beside.why else f"{named}: none, {NOT_COVERED}."
    scored, adjusted = (measure(function.demand, value) for value in beside.result)
    return (
        f"{named}: {measure_name(function.demand)} {scored} with common cause ({ratio(function, beside.ratio)}), {adjusted} with "
        f"the cyber scenario. {beside.why}{_contrary(function, beside)}"
    )


def _contrary(function: FunctionResult, beside: Beside) -> str:
    other = turns(function, beside)
    return f" By it the function {other} the target with common cause." if other else ""


def named(found: Iterable[Mapping[str, Beside] | None]) -> str:
    """The method behind the cells; empty where none of them has one yet."""
    method = next((beside.method for besides in found if besides for beside in besides.values()), None)
    return "" if method is None else f"{HEAD}: {method.label}."


def summary(functions: Iterable[FunctionResult], besides: Mapping[str, Beside]) -> str:
    """The second method beside several results: how many agree, where it differs most and why, which verdicts turn.

    Empty while none of them is computed.
    """
    pairs = [
        (function, beside, beside.ratio)
        for function in functions
        if (beside := besides.get(function.id)) is not None and beside.ratio is not None
    ]
    if not pairs:
        return ""
    apart = [pair for pair in pairs if not 1.0 / ALIKE <= pair[2] <= ALIKE]
    text = f"{HEAD}, {pairs[0][1].method.label}:"
    if len(pairs) > 1 or not apart:
        text += f" {len(pairs) - len(apart)} of {len(pairs)} results agree within 2 %."
    if apart:
        function, beside, most = max(apart, key=lambda pair: abs(log(pair[2])))
        text += f" {'it differs' if len(pairs) == 1 else 'It differs most'} at {function.id}, {ratio(function, most)}. {beside.why}"
    turned = [f"{function.id} ({other} it)" for function, beside, _ in pairs if (other := turns(function, beside))]
    verdict = (
        f"The verdict on the target with common cause is another one at {', '.join(turned)}."
        if turned
        else "No verdict differs."
    )
    return f"{text} {verdict}"
