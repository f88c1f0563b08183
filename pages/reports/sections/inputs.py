"""Inputs with every digit, so that the results can be recalculated by other means."""

from __future__ import annotations

from checks.plantfile.plant import Group
from checks.text.number_format import NONE
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision


def inputs(reported: ReportedRevision) -> list[Piece]:
    """Devices, groups, functions and systems as in the plant file: rates in FIT, times in hours."""
    return [
        *page_layout.lead(
            "Field names are those of the plant file; rates are in FIT (failures in 10⁹ hours), times in hours. Together with "
            "the answers above, the exposures of the groups and the conventions, these data give every figure of this report."
        ),
        *page_layout.heading("Devices", 2),
        *_devices(reported),
        *page_layout.heading("Groups: channels", 2),
        *_channels(reported),
        *page_layout.heading("Groups: tests and repair", 2),
        *_tests(reported),
        *page_layout.heading("Functions and systems", 2),
        *_functions(reported),
    ]


def _devices(reported: ReportedRevision) -> list[Piece]:
    rows = [
        [
            key,
            device.name,
            *map(number, (device.lambda_du_fit, device.lambda_dd_fit, device.lambda_s_fit)),
            device.source or NONE,
        ]
        for key, device in reported.plant.devices.items()
    ]
    head = ("Device", "Name", "lambda_du_fit", "lambda_dd_fit", "lambda_s_fit", "Source")
    return page_layout.table(head, rows, widths=(0.9, 2.6, 1.3, 1.3, 1.2, 1.5), right=(2, 3, 4))


def _channels(reported: ReportedRevision) -> list[Piece]:
    rows = []
    for key in reported.scope.groups:
        group = reported.plant.groups[key]
        channels = "\n".join(" + ".join(channel) for channel in group.channels)
        flags = "programmable" if group.programmable else "not programmable"
        acts = "acts on detected failures" if group.acts_on_detected else "does not act on detected failures"
        kind = f"{flags}; {acts}" + (f"\n{group.note}" if group.note else "")
        rows.append(
            [key, f"{group.part}, {group.voting}", channels, "\n".join(group.tags) or NONE, group.zone or "none", kind]
        )
    head = ("Group", "Part, voting", "Channels", "Tags", "Zone", "Kind and note")
    return page_layout.table(head, rows, widths=(1.1, 1.3, 1.4, 1.3, 0.7, 3.4))


def _tests(reported: ReportedRevision) -> list[Piece]:
    rows = [[key, *_test(reported.plant.groups[key])] for key in reported.scope.groups]
    head = (
        "Group",
        "interval_h",
        "coverage",
        "full_interval_h",
        "staggered",
        "mttr_h",
        "mrt_h",
        "diagnostic_interval_h",
    )
    return page_layout.table(head, rows, widths=(1.0, 0.95, 0.9, 1.2, 1.0, 0.75, 0.75, 1.7), right=(1, 2, 3, 5, 6, 7))


def _test(group: Group) -> list[str]:
    test = group.proof_test
    times = (test.interval_h, test.coverage, test.full_interval_h)
    repair = (group.mttr_h, group.mrt_h, group.diagnostic_interval_h)
    return [*map(number, times), "yes" if test.staggered else "no", *map(number, repair)]


def _functions(reported: ReportedRevision) -> list[Piece]:
    rows = []
    for key, function in reported.plant.functions.items():
        field = "target_rrf" if function.demand == "low" else "target_pfh"
        rows.append([key, function.demand, f"{field} {number(function.target)}", ", ".join(function.groups)])
    systems = [
        [key, system.name, ", ".join(system.functions) or "listed because it shares a group"]
        for key, system in reported.plant.systems.items()
    ]
    return [
        *page_layout.table(
            ("Function", "Demand", "Target", "Groups (results add up)"), rows, widths=(1.2, 0.8, 1.8, 4.0)
        ),
        *page_layout.table(("System", "Name", "Functions"), systems, widths=(1.0, 3.0, 3.8)),
    ]


def number(value: float | None) -> str:
    """A number with every digit that was entered; NONE for None.

    >>> number(8760.0), number(0.9), number(None), number(1e-06)
    ('8760', '0.9', '–', '1e-06')
    """
    if value is None:
        return NONE
    return f"{value:.0f}" if value == int(value) and abs(value) < 1e15 else repr(value)
