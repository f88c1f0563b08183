"""Rails: bar charts of what is left of the redundancy of each function.

One function is one rail on a logarithmic axis, where equal lengths are equal factors. The solid part is the redundancy
left, cross-hatching is lost to the cyber scenario, slanted hatching is lost to common cause; the tick is the target.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from checks.analysis.uncertainty import Uncertainty
from checks.assessment.results import Entry, FunctionResult
from checks.text.number_format import measure, percent
from pages.charts.chart_data import Bars, Fill, Row, Scale, scale_around
from pages.presentation.palette import CROSS, SLANT, SOLID, UPRIGHT
from pages.presentation.wording import rail_figures

KEPT = Fill("redundancy left", "kept", SOLID)
CYBER = Fill("lost to the cyber scenario", "cyber", CROSS)
SHARED = Fill("lost to common cause", "shared", SLANT)
ALONE, TARGET, RANGE, BAND, BEFORE = (
    "one channel",
    "target",
    "range with common cause while questions are open",
    "uncertainty, 5 % to 95 %; diamond: median",
    "before",
)
MEANINGS = (KEPT, CYBER, SHARED, ALONE, TARGET, RANGE)
"""Legend of a rail: its fills and marks."""

CHANNELS = Fill("independent failures", "quiet", SOLID)
COMMON = Fill("common cause", "shared", SLANT)
FIXED = Fill("tests themselves, stated results", "ink", UPRIGHT)
RATES = Fill("failure rates of a device type", "ink", SOLID)
BETAS = Fill("beta of a group, while answers are open", "shared", SLANT)
REST = Fill("explained by no input alone", "quiet", UPRIGHT)
AXES = {
    "low": "risk reduction factor; equal lengths are equal factors",
    "high": "high demand or continuous: 1/PFH in hours; equal lengths are equal factors",
}


def rails(
    functions: Sequence[FunctionResult],
    names: Mapping[str, str],
    *,
    before: Mapping[str, FunctionResult] | None = None,
    bands: Mapping[str, Uncertainty] | None = None,
) -> Bars:
    """One rail per function, in the given order; all have the same demand mode.

    ``names`` are names by id; ``before`` are results of an earlier state, drawn as a dotted outline; ``bands`` are drawn below.
    """
    rows = tuple(
        replace(
            rail(function, names[function.id], before=(before or {}).get(function.id)),
            band=band_of((bands or {}).get(function.id)),
        )
        for function in functions
    )
    scale = scale_around([value for row in rows for value in row.values], AXES[functions[0].demand])
    return Bars(rows, scale, (*MEANINGS, *([BAND] if bands else []), *([BEFORE] if before else [])))


def band_of(uncertainty: Uncertainty | None) -> tuple[float, float, float] | None:
    """5 %, 50 % and 95 % value over 1/PFDavg or 1/PFH [h]."""
    if uncertainty is None:
        return None
    band = uncertainty.band.inverse
    return band.p5, band.p50, band.p95


def rail(function: FunctionResult, name: str, *, before: FunctionResult | None = None) -> Row:
    """Rail of a function over 1/PFDavg in low demand or 1/PFH [h] in high demand, so that longer is better."""
    single, adjusted, scored, ideal = _goodness(function)
    band = function.band
    low, high = (1.0 / band.pessimistic, 1.0 / band.optimistic) if band else (scored, scored)
    # If voting makes a function worse than one channel, nothing is left: the solid part has no length.
    bars = ((single, max(single, adjusted), KEPT), (adjusted, scored, CYBER), (scored, ideal, SHARED))
    return Row(
        name=(function.id, name),
        figures=rail_figures(function),
        bars=bars,
        dot=single,
        tick=1.0 / function.limit,
        whisker=(low, high) if high > low * 1.001 else None,
        ghost=_ghost(before, adjusted),
    )


def _goodness(function: FunctionResult) -> tuple[float, float, float, float]:
    cases = function.cases
    return 1.0 / cases.single, 1.0 / cases.adjusted, 1.0 / cases.scored, 1.0 / cases.ideal


def _ghost(before: FunctionResult | None, adjusted: float) -> tuple[float, float] | None:
    """Ends of the earlier solid part; None if the result did not change."""
    if before is None or abs(1.0 / before.cases.adjusted / adjusted - 1.0) <= 1e-9:
        return None
    return 1.0 / before.cases.single, 1.0 / before.cases.adjusted


def steps(function: FunctionResult, words: Mapping[str, str], uncertainty: Uncertainty | None = None) -> Bars:
    """The four cases as steps, each with the part that ends at it; ``words`` name the cases from top to bottom.

    The uncertainty is drawn below the case with common cause.
    """
    single, adjusted, scored, ideal = _goodness(function)
    pieces = {
        "adjusted": (single, adjusted, KEPT),
        "scored": (adjusted, scored, CYBER),
        "ideal": (scored, ideal, SHARED),
    }
    rows = tuple(
        Row(
            name=(named, ""),
            figures=measure(function.demand, getattr(function.cases, case)),
            bars=(pieces[case],) if case in pieces else (),
            dot=single if case == "single" else None,
            tick=1.0 / function.limit,
            band=band_of(uncertainty) if case == "scored" else None,
        )
        for case, named in words.items()
    )
    return Bars(rows, scale_around([value for row in rows for value in row.values], AXES[function.demand]), MEANINGS)


def shares(function: FunctionResult, names: Mapping[str, str]) -> Bars:
    """Contribution of each group to the result with common cause, split into independent failures and common cause.

    No rows if the revision did not store the split.
    """
    rows, share = [], function.share_of("scored")
    meanings: tuple[Fill, ...] = (CHANNELS, COMMON)
    for entry in sorted(function.entries, key=lambda entry: share[entry.id], reverse=True):
        if entry.measured.scored is None:
            return Bars((), Scale(0.0, 100.0, "", linear=True), meanings)
        if entry.measured.terms.total:
            meanings = (CHANNELS, COMMON, FIXED)
        named = " or ".join(name for group in entry.groups if (name := names[group.id]))
        figures, bars = _share_row(entry, function.cases.scored)
        rows.append(Row(name=(f"{entry.id}  {entry.arrangement}", named), figures=figures, bars=bars))
    words = f"contribution to the {'PFDavg' if function.demand == 'low' else 'PFH'} of {function.id} with common cause"
    return Bars(tuple(rows), Scale(0.0, 100.0, words, linear=True), meanings)


def _share_row(entry: Entry, total: float) -> tuple[str, tuple[tuple[float, float, Fill], ...]]:
    """Figures and bars of one entry: independent failures, common cause, and what is the same in every case."""
    parts, fixed = entry.measured.scored, entry.measured.terms
    if parts is None:
        return "", ()
    pieces = (
        ("independent", float(parts.independent) / total, CHANNELS),
        ("common cause", float(parts.shared) / total, COMMON),
        ("stated by its maker" if fixed.stated else "tests themselves", fixed.total / total, FIXED),
    )
    listed = [piece for piece in pieces if piece[1] or (piece[2] is not FIXED and not fixed.stated)]
    bars, start = [], 0.0
    for _, part, fill in listed:
        bars.append((start, start + part * 100.0, fill))
        start += part * 100.0
    words = ", ".join(f"{name} {percent(part)}" for name, part, _ in listed)
    return f"{percent(entry.measured.cases.scored / total)}: {words}", tuple(bars)


def rests_on(uncertainty: Uncertainty) -> Bars:
    """What a result rests on: the share of each input in the variance of ln(result), alone; then what is left."""
    rows = [
        Row(
            name=(part.input.name, ""),
            figures=f"{percent(part.share)}; {part.input.spread}",
            bars=((0.0, part.share * 100.0, RATES if part.input.kind == "rates" else BETAS),),
        )
        for part in uncertainty.rests_on
        if part.share >= LEAST_SHARE
    ]
    rest = Row(
        name=("interactions and noise of the sample", ""),
        figures=percent(uncertainty.rest),
        bars=((0.0, uncertainty.rest * 100.0, REST),),
    )
    words = f"share in the variance of ln(result) of {uncertainty.id} with common cause"
    return Bars((*rows, rest), Scale(0.0, 100.0, words, linear=True), (RATES, BETAS, REST))


LEAST_SHARE = 0.01
"""Share from which on an input has a bar; the table lists all."""
