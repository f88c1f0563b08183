"""Texts on the uncertainty of a result, shared by screens and reports."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from checks.analysis.uncertainty import Uncertainty
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.text.number_format import NONE, measure, measure_name
from scoring.uncertainty.method import ABOUT, ERROR_FACTOR


def band_figures(function: FunctionResult, uncertainty: Uncertainty | None) -> str:
    """5 % to 95 % of the result with common cause, the worse end first; NONE without an uncertain input."""
    if uncertainty is None:
        return NONE
    worst, best = (measure(function.demand, end) for end in (uncertainty.band.p95, uncertainty.band.p5))
    return f"{worst} to {best}"


def within_band(function: FunctionResult, uncertainty: Uncertainty | None) -> str:
    """Sentence with the band alone, to stand beside the verdicts; empty without an uncertain input."""
    if uncertainty is None:
        return ""
    return f" 5 % to 95 % of the uncertainty with common cause: {band_figures(function, uncertainty)}."


def band_sentence(function: FunctionResult, uncertainty: Uncertainty) -> str:
    """Band of a function, and its verdict with the probability of the contrary."""
    median = measure(function.demand, uncertainty.band.p50)
    verdict = verdicts.with_doubt(function, uncertainty.misses or 0.0, mostly(uncertainty))
    return (
        f"{measure_name(function.demand)} {measure(function.demand, function.cases.scored)} with common cause; 5 % to 95 % of its "
        f"uncertainty: {band_figures(function, uncertainty)}, median {median}. It {verdict}."
    )


def most_in_doubt(when: str, functions: Iterable[FunctionResult], bands: Mapping[str, Uncertainty]) -> str:
    """The function whose target is most likely missed although its result meets it, in a sentence; empty where none does.

    ``when`` says for which state, such as ``after the set``.
    """
    found = [
        (band.misses or 0.0, function, band) for function in functions if (band := bands.get(function.id)) is not None
    ]
    met = [each for each in found if not verdicts.falls_short(each[1], "scored")]
    if not met:
        return ""
    misses, function, band = max(met, key=lambda each: each[0])
    lead = f"{'Most in doubt ' if len(found) > 1 else ''}{when}"
    return f"{lead[0].upper()}{lead[1:]}: {function.id} {verdicts.with_doubt(function, misses, mostly(band))}."


def mostly(uncertainty: Uncertainty) -> str:
    """The input that a result mostly rests on; empty where none explains a third of its variance (house rule)."""
    part = uncertainty.mostly
    return f"the {part.input.name}" if part.share >= 1.0 / 3.0 else ""


def computed(uncertainty: Uncertainty) -> str:
    """Method of a band with edition, number of points and seed."""
    return (
        f"{ABOUT.label[0].upper()}{ABOUT.label[1:]}: {uncertainty.samples:,} points, seed {uncertainty.seed}, by "
        f"{uncertainty.method.label}."
    )


def sampled(uncertainty: Uncertainty) -> str:
    """How a band was computed: method with edition, samples, seed, conventions, and what is held fixed."""
    assumed = [part.input.key for part in uncertainty.rests_on if part.input.assumed]
    text = (
        f"{computed(uncertainty)} "
        "Failure rates are lognormal, the entered rate is the mean; beta is a triangle over its open answers. "
    )
    if assumed:
        text += f"Error factor {ERROR_FACTOR:g} by convention for {', '.join(assumed)}. "
    if uncertainty.fixed:
        text += f"Held at their stated value: {', '.join(uncertainty.fixed)}. "
    return (
        f"{text}Coverage, test intervals and repair times have no range in the plant file and are held fixed. The band is of the case "
        "with common cause; the cyber scenario has none."
    )
