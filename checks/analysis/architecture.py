"""Architecture of a function as separate statements: what each route asks of each group, and systematic capability as entered.

There is no verdict over all of them: the standards and competent persons decide which route applies and what counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from checks.assessment.assessment import Assessment
from checks.assessment.results import GroupResult
from checks.plantfile.equipment import Device
from checks.plantfile.plant import Function
from checks.text.number_format import measure_name, percent, target
from scoring.architecture import fault_tolerance
from scoring.architecture.fault_tolerance import LEAST_CONFIDENCE, LEAST_COVERAGE, ROUTE_1H, ROUTE_2H, TABLE_6
from scoring.architecture.safe_failure_fraction import diagnostic_coverage, safe_failure_fraction

ROUTES = (ROUTE_1H, ROUTE_2H, TABLE_6)
DEFERS = (
    "Each statement stands by itself. Which route applies, and whether its other conditions hold, is for the standards and for "
    "competent persons. This certifies nothing."
)
INSIDE = "a redundant element inside a channel adds nothing to the HFT of the group (house rule)"
STATED = "its result is stated; the maker's certificate says what its architecture is good for"


@dataclass(frozen=True, slots=True)
class DeviceFigures:
    """What is entered of one device: type, diagnostic coverage and SFF from its rates; None where they are not known."""

    id: str
    entered: Device
    coverage: float | None
    sff: float | None


@dataclass(frozen=True, slots=True)
class Statement:
    """What one route says of a group: the HFT that it asks, whether the group has it; None: not stated."""

    route: str
    asked: int | None
    holds: bool | None
    words: str


@dataclass(frozen=True, slots=True)
class GroupArchitecture:
    """One group: its HFT, the statement of each route, and its systematic capability as entered; None: not stated."""

    id: str
    arrangement: str
    hft: int | None
    statements: tuple[Statement, ...]
    capability: int | None
    capability_words: str


@dataclass(frozen=True, slots=True)
class FunctionArchitecture:
    """One function: the SIL in whose band its target lies, its groups and devices, and the lowest systematic capability.

    ``sil`` is None for a target outside all bands; ``sil_words`` and ``capability_words`` are sentences.
    """

    id: str
    sil: int | None
    sil_words: str
    groups: tuple[GroupArchitecture, ...]
    devices: tuple[DeviceFigures, ...]
    capability: int | None
    capability_words: str


def of_function(assessment: Assessment, key: str) -> FunctionArchitecture:
    """The architecture of a function, with its groups as it votes them."""
    function, parts = assessment.plant.functions[key], assessment.function(key).groups
    sil = fault_tolerance.required_sil(demand=function.demand, target=function.target)
    used = dict.fromkeys(name for part in parts for name in assessment.plant.groups[part.id].devices)
    groups = tuple(_group(assessment, part, function, sil) for part in parts)
    stated = [group.capability for group in groups if group.capability is not None]
    lowest = min(stated, default=None)
    return FunctionArchitecture(
        id=key,
        sil=sil,
        sil_words=_sil_words(function, sil),
        groups=groups,
        devices=tuple(_figures(name, assessment.plant.devices[name]) for name in used),
        capability=lowest,
        capability_words=_lowest_words(groups, lowest, sil),
    )


def _sil_words(function: Function, sil: int | None) -> str:
    aim = f"{measure_name(function.demand)} {target(function.demand, function.target)}"
    if sil is None:
        return f"The target {aim} lies in the band of no SIL, so no route is asked."
    mode = "low demand" if function.demand == "low" else "high demand or continuous mode"
    return f"The target {aim} in {mode} lies in the band of SIL {sil}."


def _lowest_words(groups: tuple[GroupArchitecture, ...], lowest: int | None, sil: int | None) -> str:
    without = [group.id for group in groups if group.capability is None]
    words = []
    if lowest is not None:
        those = ", ".join(group.id for group in groups if group.capability == lowest)
        asked = f"; SIL {sil} asks SC {sil}" if sil else ""
        words.append(f"The lowest systematic capability entered is SC {lowest} ({those}){asked}.")
    if without:
        words.append(f"Not stated for {', '.join(without)}.")
    return " ".join(words)


def _figures(key: str, device: Device) -> DeviceFigures:
    dd, du, safe = device.lambda_dd_fit, device.lambda_du_fit, device.lambda_s_fit
    known = safe is not None and safe + dd + du > 0.0
    sff = safe_failure_fraction(safe=safe, detected=dd, undetected=du) if safe is not None and known else None
    return DeviceFigures(key, device, diagnostic_coverage(detected=dd, undetected=du), sff)


def _group(assessment: Assessment, part: GroupResult, function: Function, sil: int | None) -> GroupArchitecture:
    group = assessment.plant.groups[part.id]
    capability, words = _capability(assessment, part.id)
    if group.stated_result is not None:
        statements = tuple(Statement(about.id, None, None, f"not stated: {STATED}") for about in ROUTES)
        return GroupArchitecture(part.id, part.arrangement, None, statements, capability, words)
    hft = part.voting.tolerance
    if sil is None:
        statements = tuple(Statement(about.id, None, None, f"HFT {hft}; no SIL to ask for") for about in ROUTES)
    else:
        devices = [_figures(name, assessment.plant.devices[name]) for name in group.devices]
        statements = (
            _route_1h(hft, sil, devices),
            _route_2h(hft, sil, function, devices),
            _table_6(hft, sil, function),
        )
    if group.elements:
        statements = tuple(replace(each, words=f"{each.words}; {INSIDE}") for each in statements)
    return GroupArchitecture(part.id, part.arrangement, hft, statements, capability, words)


def _capability(assessment: Assessment, key: str) -> tuple[int | None, str]:
    """Systematic capability of a group: as entered for it, else the lowest of its devices; and where it comes from."""
    group = assessment.plant.groups[key]
    if group.systematic_capability is not None:
        return (
            group.systematic_capability.sc,
            f"SC {group.systematic_capability.sc} ({group.systematic_capability.source})",
        )
    names = group.devices
    stated = {name: assessment.plant.devices[name].systematic_capability for name in names}
    without = [name for name, each in stated.items() if each is None]
    if without or not names:
        return None, f"not stated: {', '.join(without) or 'systematic_capability of the group'}"
    entered = {name: each for name, each in stated.items() if each is not None}
    lowest = min(each.sc for each in entered.values())
    those = "; ".join(f"{name}: {each.source}" for name, each in entered.items() if each.sc == lowest)
    return lowest, f"SC {lowest} ({those})"


def _has(hft: int, asked: int) -> str:
    """The HFT of a group before what is asked of it."""
    return f"HFT {hft};" if hft >= asked else f"HFT {hft} falls short:"


def _missing(hft: int, route: str, missing: Iterator[str]) -> Statement | None:
    listed = ", ".join(missing)
    return Statement(route, None, None, f"HFT {hft}; not stated: {listed}") if listed else None


def _without_type_or_rates(devices: list[DeviceFigures]) -> Iterator[str]:
    for device in devices:
        if device.entered.type is None:
            yield f"type of {device.id}"
        if device.sff is None:
            yield f"lambda_s_fit of {device.id}"


def _route_1h(hft: int, sil: int, devices: list[DeviceFigures]) -> Statement:
    """Of all devices the one that asks most; ``asked`` is None too where no HFT up to 2 has the SIL."""
    missing = _missing(hft, ROUTE_1H.id, _without_type_or_rates(devices))
    if missing:
        return missing
    asked: list[tuple[float, str, int | None]] = []
    for device in devices:
        kind, sff = device.entered.type, device.sff
        if kind is not None and sff is not None:
            needed = fault_tolerance.route_1h(sil=sil, kind=kind, sff=sff)
            row = fault_tolerance.band(kind, sff)["sff"]
            words = f"for SIL {sil} with type {kind} and SFF {row} ({device.id}, {percent(sff)})"
            asked.append((float("inf") if needed is None else needed, words, needed))
    _, words, needed = max(asked, key=lambda each: each[0])
    if needed is None:
        return Statement(
            ROUTE_1H.id, None, holds=False, words=f"HFT {hft} falls short: Route 1H has no HFT up to 2 {words}"
        )
    return Statement(ROUTE_1H.id, needed, hft >= needed, f"{_has(hft, needed)} Route 1H asks {needed} {words}")


def _route_2h(hft: int, sil: int, function: Function, devices: list[DeviceFigures]) -> Statement:
    missing = _missing(hft, ROUTE_2H.id, _without_type_or_field_data(devices))
    if missing:
        return missing
    needed = fault_tolerance.route_2h(sil=sil, demand=function.demand)
    short = "; ".join(_short_of_2h(devices))
    words = f"{_has(hft, needed)} Route 2H asks {needed} for SIL {sil}{f'; {short}' if short else '; field data as entered'}"
    return Statement(ROUTE_2H.id, needed, hft >= needed and not short, words)


def _without_type_or_field_data(devices: list[DeviceFigures]) -> Iterator[str]:
    for device in devices:
        if device.entered.type is None:
            yield f"type of {device.id}"
        if device.entered.field_data is None:
            yield f"field_data of {device.id}"


def _short_of_2h(devices: list[DeviceFigures]) -> Iterator[str]:
    """Conditions of Route 2H that a device does not have as entered."""
    for device in devices:
        data, coverage = device.entered.field_data, device.coverage
        if data is not None and data.confidence < LEAST_CONFIDENCE:
            yield f"field data of {device.id} have a confidence of {percent(data.confidence)}, it asks {percent(LEAST_CONFIDENCE)}"
        if device.entered.type == "B" and coverage is not None and round(coverage, 12) < LEAST_COVERAGE:
            yield f"diagnostic coverage of {device.id}, type B, is {percent(coverage)}, it asks {percent(LEAST_COVERAGE)}"


def _table_6(hft: int, sil: int, function: Function) -> Statement:
    needed = fault_tolerance.table_6(sil=sil, demand=function.demand)
    return Statement(
        TABLE_6.id, needed, hft >= needed, f"{_has(hft, needed)} {TABLE_6.label} asks {needed} for SIL {sil}"
    )
