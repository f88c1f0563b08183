"""What a compromise reaches, in sentences and rows, the same on the screen and in the security annex."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from checks.analysis import beside_result
from checks.analysis.beside_result import Figures
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.plantfile.plant import OUTSIDE, Plant
from checks.reach import independence
from checks.reach.footholds import FallenFunction, Foothold
from checks.text.number_format import NONE, small
from pages.presentation.second_words import WAITING
from pages.presentation.wording import counted, titled

Row = dict[str, str]
Only = Collection[str] | None
"""Ids of what to list; None for all."""
OUTSIDE_THE_PLANT = "outside the plant"
NO_PROBABILITY = "No probability of an attack is assumed or computed."
BREAK_EVEN = (
    "Break-even: the target is missed if a compromise defeats the whole function at the time of a demand with a probability above "
    "this. With common cause, the compromise is counted once, in that probability; with the cyber scenario, exposure has raised "
    "beta already. A dash: the target is missed without any compromise, or the function works in high demand."
)


BESIDE = (
    "5 % to 95 %: the break-even with common cause at the 95 % and at the 5 % value of the PFDavg; it rests on failure rates and open "
    "answers, and is no range of a probability of attack (none: the target is missed there without any compromise). The cyber "
    "scenario has no band, since no distribution of its inputs is known: beside it stands the second method alone."
)
COMMON_CAUSE, CYBER = "Break-even, common cause", "Break-even, cyber scenario"


def place(plant: Plant, foothold: str) -> str:
    """A foothold in words: id and name of a zone, or what lies outside."""
    return OUTSIDE_THE_PLANT if foothold == OUTSIDE else titled(foothold, plant.zones[foothold].name)


def headline(plant: Plant, reach: Foothold) -> str:
    """What a compromise reaches from a foothold, and what the best single closing leaves."""
    zones = counted(len(reach.others), "zone" if reach.id == OUTSIDE else "other zone")
    functions = f"{len(reach.functions)} of {counted(len(plant.functions), 'function')}"
    return f"From {place(plant, reach.id)} a compromise reaches {zones} and {functions}{_best_closing(reach)}."


def _best_closing(reach: Foothold) -> str:
    best = reach.best_closings
    if not reach.functions:
        return ""
    if not best:
        return "; closing a single conduit saves none of them"
    left = len(best[0].functions_left)
    return f"; closing {_either([closing.conduit for closing in best])} leaves {left or 'none'}"


def _either(names: list[str]) -> str:
    """Names of which any one will do: ``C2``, ``C2 or C9``."""
    *others, last = names
    return f"{', '.join(others)} or {last}" if others else last


def _after(distance: int) -> str:
    return f"after {counted(distance, 'conduit')}" if distance else "at the foothold"


def zone_rows(plant: Plant, reach: Foothold, of: Only = None) -> list[Row]:
    """The zones reached, with one shortest way and the programmable groups; ``of`` names those to list."""
    return [
        {
            "Zone": titled(zone.zone, plant.zones[zone.zone].name),
            "Reached": _after(zone.distance),
            "By conduits": ", ".join(zone.conduits) or NONE,
            "Programmable groups": ", ".join(zone.groups) or NONE,
        }
        for zone in reach.zones
        if of is None or zone.zone in of
    ]


def function_rows(
    assessment: Assessment, reach: Foothold, of: Only = None, *, beside: Figures | None = None
) -> list[Row]:
    """The functions that fall, the zones and groups by which they fall, and their break-evens; ``of`` names those to list.

    With ``beside`` also the band of each break-even, and those by the second method.
    """
    rows, layers = [], any(function.demand_zone for function in assessment.plant.functions.values())
    for fallen in (each for each in reach.functions if of is None or each.function in of):
        function = assessment.function(fallen.function)
        layer = {"Control layer that makes the demand": _demand(assessment.plant, fallen)} if layers else {}
        rows.append(
            {
                "Function": titled(fallen.function, assessment.plant.functions[fallen.function].name),
                "Falls": _after(fallen.distance),
                "By zones": ", ".join(fallen.zones),
                "By groups": ", ".join(fallen.groups),
                **layer,
                **_break_evens(function, beside),
            }
        )
    return rows


def _break_evens(function: FunctionResult, beside: Figures | None) -> Row:
    """The break-evens of a function; in high demand there is none."""
    scored, adjusted = small(function.break_even_scored), small(function.break_even)
    if beside is None:
        return {COMMON_CAUSE: scored, CYBER: adjusted}
    band, second = _beside(function, beside)
    return {
        COMMON_CAUSE: scored,
        "5 % to 95 %": band,
        "Second method, common cause": second[0],
        CYBER: adjusted,
        "Second method, cyber scenario": second[1],
    }


def _beside(function: FunctionResult, beside: Figures) -> tuple[str, tuple[str, str]]:
    """5 % to 95 % of the break-even from common cause, the worse end first, and both break-evens by the second method."""
    if function.demand != "low":
        return NONE, (NONE, NONE)
    if function.id not in beside.functions:
        return WAITING, (WAITING, WAITING)
    scored, adjusted = map(small, beside_result.break_evens(function, beside.besides[function.id]))
    band = beside.bands.get(function.id)
    if band is None:
        return NONE, (scored, adjusted)
    worst, best = ("none" if end is None else small(end) for end in beside_result.break_even_band(function, band))
    return "none" if worst == best == "none" else f"{worst} to {best}", (scored, adjusted)


def _demand(plant: Plant, fallen: FallenFunction) -> str:
    zone = plant.functions[fallen.function].demand_zone
    if zone is None:
        return "not described"
    return f"{zone}, {'not reached' if fallen.demand_distance is None else _after(fallen.demand_distance)}"


def not_reached(plant: Plant, reach: Foothold, of: Only = None) -> str:
    """The functions that a compromise does not reach, in a sentence; empty if it reaches all, or all of ``of``."""
    fallen = {function.function for function in reach.functions}
    left = [key for key in plant.functions if key not in fallen and (of is None or key in of)]
    if not left:
        return ""
    named = ", ".join(left[:20]) + (", …" if len(left) > 20 else "")
    return f"Not reached: {named}."


def closing_rows(reach: Foothold) -> list[Row]:
    """The conduits of which each alone, if closed, saves a function, the most effective first."""
    return [
        {
            "Conduit": closing.conduit,
            "Functions left": f"{len(closing.functions_left)} of {len(reach.functions)}",
            "Zones left": f"{len(closing.zones_left)} of {len(reach.zones)}",
            "Functions still reached": _few(closing.functions_left),
        }
        for closing in reach.closings
        if len(closing.functions_left) < len(reach.functions)
    ]


def _few(names: tuple[str, ...], most: int = 12) -> str:
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "") or "none"


def separation_rows(plant: Plant, reach: Foothold) -> list[Row]:
    """The safety-related zones that no single closing keeps out of reach, with the fewest conduits that do so together."""
    return [
        {
            "Zone": titled(separation.zone, plant.zones[separation.zone].name),
            "Conduits to close": str(len(separation.conduits)),
            "For example": ", ".join(separation.conduits),
        }
        for separation in reach.separations
    ]


def together_rows(plant: Plant, of: Only = None) -> list[Row]:
    """By zone, the functions of which any two are not independent, each with the groups by which it falls.

    ``of`` names functions of which a zone must defeat at least one to be listed.
    """
    return [
        {
            "Zone": titled(together.zone, plant.zones[together.zone].name),
            "Pairs": str(together.pairs),
            "Functions that fall together, by groups": "\n".join(_with_groups(together.functions.items())),
        }
        for together in independence.defeated_together(plant)
        if of is None or not together.functions.keys().isdisjoint(of)
    ]


def _with_groups(functions: Iterable[tuple[str, tuple[str, ...]]]) -> list[str]:
    return [f"{key}: {', '.join(groups)}" for key, groups in functions]


def demand_rows(plant: Plant, of: Only = None) -> list[Row]:
    """The functions that are not independent of the control layer that makes their demand; ``of`` names those to list."""
    return [
        {
            "Function": titled(shared.function, plant.functions[shared.function].name),
            "Zone of the demand": titled(shared.zone, plant.zones[shared.zone].name),
            "Falls there by groups": ", ".join(shared.groups),
        }
        for shared in independence.demands_from_same_zone(plant)
        if of is None or shared.function in of
    ]
