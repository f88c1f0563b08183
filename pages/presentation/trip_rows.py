"""Spurious trips in words and as table rows, the same on the screen and in the safety report."""

from __future__ import annotations

from collections.abc import Iterable

from checks.analysis.spurious_trips import FunctionTrips, GroupTrips, Total
from checks.text.number_format import NONE, per_year, percent, significant
from scoring.method import About
from scoring.spurious_trips.conventions import BETA, CONVENTIONS
from scoring.units import HOURS_PER_YEAR

ABOUT: dict[str, About] = {convention.about.id: convention.about for convention in CONVENTIONS}
KNOWN = {
    "read": "read in print",
    "cross-checked": "from two sources",
    "closure": "derived and checked",
    "memory": "from memory",
    "house rule": "house rule",
}
"""How well a source is known, in words."""
TRIPS_AT = (
    "A MooN group trips as soon as M channels call for a trip, so it survives M - 1 safe failures. Every group of a function trips "
    "it, so the rates add up. Safe failures call for a trip, and detected dangerous ones where the group acts on them."
)


def sentence(trips: FunctionTrips) -> str:
    """How often a function trips without a demand by each convention, how much of it is common cause, what is not known."""
    rated = [total for total in trips.totals if total.known]
    if not rated:
        return f"No spurious trip rate of {trips.id} is known. {_missing(trips)}"
    figures = " and ".join(f"{_rate(total)} by {_convention(total.convention)}" for total in rated)
    each = " and ".join(percent(total.common_share) for total in rated)
    return f"{trips.id} trips without a demand {figures}; {each} of that is common cause. {_missing(trips)}".rstrip()


def _rate(total: Total) -> str:
    least = "" if total.complete else "at least "
    often = f" (once in {significant(1.0 / total.known)} years)" if total.complete and total.known < 1.0 else ""
    return f"{least}{per_year(total.known)} times a year{often}"


def _missing(trips: FunctionTrips) -> str:
    return f"Not known: {'; '.join(trips.missing)}." if trips.missing else ""


def group_rows(trips: FunctionTrips) -> list[dict[str, str]]:
    """One row per group with its rates per year, and one with the sums."""
    rows = [
        {
            "Group": group.id,
            "Voting": group.arrangement,
            "One channel, per year": per_year(None if group.channel is None else group.channel * HOURS_PER_YEAR),
            "Beta": percent(group.beta),
            **_both(group),
        }
        for group in trips.groups
    ]
    whole = {"Group": trips.id, "Voting": "", "One channel, per year": "", "Beta": ""}
    for total in trips.totals:
        label = _head(total.convention)
        whole[f"{label}, per year"] = per_year(total.known) if total.complete else f"at least {per_year(total.known)}"
        whole[f"{label}, common cause"] = percent(total.common_share)
    return [*rows, whole]


def _both(group: GroupTrips) -> dict[str, str]:
    cells = {}
    for trips in group.trips:
        label = _head(trips.convention)
        cells[f"{label}, per year"] = "not known" if trips.per_year is None else per_year(trips.per_year)
        cells[f"{label}, common cause"] = percent(trips.rate.common_share) if trips.rate else NONE
    return cells


def voting_cells(group: GroupTrips) -> dict[str, str]:
    """Trips per year of a group with one voting, by each convention."""
    return {
        f"{_head(trips.convention)}, spurious trips of {group.id} per year": per_year(trips.per_year)
        for trips in group.trips
    }


def conventions() -> list[str]:
    """Both conventions with source, equations and range."""
    return [
        f"{_head(key)}: {about.source} ({KNOWN[about.confidence]}). {'; '.join(about.formula)}. Valid for {about.valid}."
        for key, about in ABOUT.items()
    ]


def notes(groups: Iterable[GroupTrips]) -> list[str]:
    """When a group trips, which beta is taken, and remarks on groups."""
    return [TRIPS_AT, BETA, *(f"{group.remark}." for group in groups if group.remark)]


def _head(convention: str) -> str:
    """Name of a convention at the start of a head or a line."""
    label = ABOUT[convention].label
    return f"{label[0].upper()}{label[1:]}"


def _convention(key: str) -> str:
    """Name of a convention in a sentence."""
    return ABOUT[key].label if ABOUT[key].label[0].isupper() else f"the {ABOUT[key].label}"
