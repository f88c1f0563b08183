"""Beta of a pair from the plant's own failures: an interval for each group beside the beta in use, and a published range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from checks.reassessment.own_beta import OwnBeta
from checks.text.number_format import percent
from pages.charts.chart_data import Bars, Fill, Row, Scale
from pages.presentation.own_failures import span
from pages.presentation.palette import SLANT, SOLID
from scoring.beta import published

OWN = Fill("90 % interval from own failures", "shared", SLANT)
PUBLISHED = Fill("published range of beta", "quiet", SOLID)
MEDIAN, IN_USE = "median from own failures", "beta in use"
AXIS = "beta of a pair (1oo2) of channels, per cent, log scale"
LEAST, USUAL, MOST = 0.01, 0.1, 100.0
"""Least, usual and upper ends of the scale, in per cent; an interval that begins below the least is clipped."""


def reading() -> str:
    """What the marks of the chart mean, and the source of the published range."""
    return f"Dot: {MEDIAN}. Upright tick: {IN_USE}. Published range: {published.field_range().survey}, after {published.ranges_source()}."


def beta_intervals(estimates: Sequence[OwnBeta], names: Mapping[str, str]) -> Bars:
    """One row for each group with counted failures, the published range as the last; no rows without failures.

    ``names`` are names of groups by id. Values are in per cent.
    """
    rows = tuple(
        _row(estimate, names[estimate.group]) for estimate in estimates if estimate.events and estimate.beta is not None
    )
    legend = (OWN, PUBLISHED, MEDIAN, IN_USE)
    low = min((value for row in rows for value in row.values), default=USUAL)
    return Bars((*rows, _published()) if rows else (), Scale(max(LEAST, min(USUAL, low)), MOST, AXIS), legend)


def _row(estimate: OwnBeta, name: str) -> Row:
    beta = estimate.beta or estimate.jeffreys
    return Row(
        name=(estimate.group, name),
        figures=f"{span(beta)}; in use {percent(estimate.in_use)}",
        bars=((beta.p5 * 100.0, beta.p95 * 100.0, OWN),),
        dot=beta.p50 * 100.0,
        tick=estimate.in_use * 100.0,
    )


def _published() -> Row:
    field = published.field_range()
    return Row(
        name=("Published range", field.survey),
        figures=f"{percent(field.low)} to {percent(field.high)}",
        bars=((field.low * 100.0, field.high * 100.0, PUBLISHED),),
    )
