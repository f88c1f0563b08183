"""Architecture as table rows, the same on the screen and in the safety report: one statement a cell, no verdict over them."""

from __future__ import annotations

from checks.analysis.architecture import DEFERS, ROUTES, FunctionArchitecture
from checks.text.number_format import NONE, percent
from pages.presentation.trip_rows import KNOWN


def group_rows(stated: FunctionArchitecture) -> list[dict[str, str]]:
    """One row per group: what each route says of it, and its systematic capability as entered."""
    labels = {about.id: about.label for about in ROUTES}
    return [
        {
            "Group": group.id,
            "Voting": group.arrangement,
            **{labels[each.route]: each.words for each in group.statements},
            "Systematic capability": group.capability_words,
        }
        for group in stated.groups
    ]


def device_rows(stated: FunctionArchitecture) -> list[dict[str, str]]:
    """One row per device: type, diagnostic coverage and SFF from its rates, field data and capability as entered."""
    rows = []
    for device in stated.devices:
        data, capability = device.entered.field_data, device.entered.systematic_capability
        rows.append(
            {
                "Device": device.id,
                "Type": device.entered.type or "not stated",
                "Diagnostic coverage": percent(device.coverage),
                "SFF": "no lambda_s_fit" if device.sff is None else percent(device.sff),
                "Field data": f"{percent(data.confidence)} confidence; {data.source}" if data else NONE,
                "Systematic capability": f"SC {capability.sc}; {capability.source}" if capability else "not stated",
            }
        )
    return rows


def sentences(stated: FunctionArchitecture) -> str:
    """The SIL of the target, the lowest systematic capability entered, and who decides."""
    return f"{stated.sil_words} {stated.capability_words} {DEFERS}"


def notes() -> list[str]:
    """Each route with its source, how well it is known, and its range."""
    return [f"{about.label}: {about.source} ({KNOWN[about.confidence]}). Valid for {about.valid}." for about in ROUTES]
