"""Inputs with every digit, so that the results can be recalculated by other means."""

from __future__ import annotations

from collections.abc import Iterator

from checks.plantfile.equipment import Device, Element, Group, ProofTest
from checks.plantfile.plant import Alternatives, VotedOtherwise, in_words
from checks.text.number_format import NONE
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

PROOF_TEST = (
    "Group",
    "interval_h",
    "coverage",
    "full_interval_h",
    "staggered",
    "mttr_h",
    "mrt_h",
    "diagnostic_interval_h",
)
SEVERAL = ("Group", "Test", "interval_h", "coverage", "devices, offsets_h", "duration_h, bypass", "error")
REPAIR = ("Group", "mttr_h", "mrt_h", "diagnostic_interval_h")
"""Heads of the tables of tests and repair: groups with a proof test, with several tests, and repair of the latter."""


def inputs(reported: ReportedRevision) -> list[Piece]:
    """Devices, groups, functions and systems as in the plant file: rates in FIT, times in hours."""
    return [
        *page_layout.lead(
            "Field names are those of the plant file; rates are in FIT (failures in 10⁹ hours), times in hours. With the answers "
            "above, the exposures of the groups and the equations, these data give beta, PFDavg and PFH of each group in this report."
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
            *map(number, (device.lambda_du_fit, device.lambda_dd_fit, device.lambda_s_fit, device.lambda_sd_fit)),
            number(device.error_factor),
            device.source or NONE,
        ]
        for key, device in reported.plant.devices.items()
    ]
    head = (
        "Device",
        "Name",
        "lambda_du_fit",
        "lambda_dd_fit",
        "lambda_s_fit",
        "lambda_sd_fit",
        "error_factor",
        "Source",
    )
    return [
        *page_layout.table(head, rows, widths=(0.9, 2.1, 1.2, 1.2, 1.1, 1.2, 1.1, 1.3), right=(2, 3, 4, 5, 6)),
        *_statements(reported),
    ]


def _statements(reported: ReportedRevision) -> list[Piece]:
    """What is entered about the architecture of devices: type, field data, systematic capability; nothing without any."""
    rows = [
        [key, device.type or NONE, *_field_data(device), *_capability(device)]
        for key, device in reported.plant.devices.items()
        if device.type or device.field_data or device.systematic_capability
    ]
    head = ("Device", "type", "field_data.confidence", "Source", "systematic_capability.sc", "Source")
    return page_layout.table(head, rows, widths=(0.8, 0.6, 1.6, 2.2, 1.8, 2.2), right=(2, 4)) if rows else []


def _field_data(device: Device) -> tuple[str, str]:
    data = device.field_data
    return (number(data.confidence), data.source) if data else (NONE, NONE)


def _capability(of: Device | Group) -> tuple[str, str]:
    stated = of.systematic_capability
    return (f"{stated.sc}", stated.source) if stated else (NONE, NONE)


def _channels(reported: ReportedRevision) -> list[Piece]:
    rows = []
    for key in reported.scope.groups:
        group = reported.plant.groups[key]
        channels = "\n".join(" + ".join(map(_inside, channel)) for channel in group.channels) or NONE
        flags = "programmable" if group.programmable else "not programmable"
        acts = "acts on detected failures" if group.acts_on_detected else "does not act on detected failures"
        kind = "\n".join(
            (f"{flags}; {acts}" if group.channels else flags, *_particulars(group), *filter(None, [group.note]))
        )
        rows.append(
            [
                key,
                f"{group.part}, {group.arrangement}",
                channels,
                "\n".join(group.tags) or NONE,
                group.zone or "none",
                kind,
            ]
        )
    head = ("Group", "Part, voting", "Channels", "Tags", "Zone", "Kind and note")
    return page_layout.table(head, rows, widths=(1.1, 1.3, 1.4, 1.3, 0.7, 3.4))


def _inside(part: str | Element) -> str:
    """A device of a channel, or a redundant element with the beta that is stated for it."""
    if not isinstance(part, Element):
        return part
    stated = part.stated_beta
    if stated is None:
        return f"({part})"
    kind = " of group" if stated.of == "group" else ""
    return f"({part}; beta {number(stated.beta)}{kind}, beta_d {number(stated.beta_d)}, {stated.source})"


def _particulars(group: Group) -> Iterator[str]:
    """What few groups have: a stated result, K of 1oo2D, a MooN factor of their own, tests of the other channels, an SC."""
    stated = group.stated_result
    if stated is not None:
        covers = f"; covers {stated.covers}" if stated.covers else ""
        yield f"stated_result pfd {number(stated.pfd)}, pfh {number(stated.pfh)}; {stated.source}{covers}"
    if group.diagnostic_switch is not None:
        yield f"diagnostic_switch {number(group.diagnostic_switch)}"
    if group.conventions is not None and group.conventions.voting_factor is not None:
        yield f"voting_factor {group.conventions.voting_factor}"
    if group.conventions is not None and group.conventions.redundancy_method is not None:
        yield f"redundancy_method {group.conventions.redundancy_method}"
    if group.conventions is not None and group.conventions.beta_method is not None:
        yield f"beta_method {group.conventions.beta_method}: {group.conventions.beta_method_reason}"
    if group.check_others:
        yield "check_others"
    if group.systematic_capability is not None:
        yield "systematic_capability {}; {}".format(*_capability(group))
    if group.observed_since:
        yield f"observed_since {group.observed_since}"


def _tests(reported: ReportedRevision) -> list[Piece]:
    groups = {key: reported.plant.groups[key] for key in reported.scope.groups}
    rows = [[key, *_proof_test(group, group.proof_test)] for key, group in groups.items() if group.proof_test]
    pieces: list[Piece] = []
    if rows:
        widths = (1.0, 0.95, 0.9, 1.2, 1.0, 0.75, 0.75, 1.7)
        pieces += page_layout.table(PROOF_TEST, rows, widths=widths, right=(1, 2, 3, 5, 6, 7))
    several = [row for key, group in groups.items() for row in _several_tests(key, group)]
    if several:
        pieces += page_layout.table(SEVERAL, several, widths=(1.0, 1.6, 1.0, 0.9, 1.7, 1.4, 0.8), right=(2, 3, 6))
        times = [[key, *_repair(group)] for key, group in groups.items() if group.tests]
        pieces += page_layout.table(REPAIR, times, widths=(1.0, 1.0, 1.0, 1.7), right=(1, 2, 3))
    mission = reported.plant.conventions.mission_h
    return [*pieces, *(page_layout.small(f"mission_h {number(mission)}") if mission else [])]


def _proof_test(group: Group, test: ProofTest) -> list[str]:
    times = (test.interval_h, test.coverage, test.full_interval_h)
    return [*map(number, times), "yes" if test.staggered else "no", *_repair(group)]


def _repair(group: Group) -> list[str]:
    return [number(time) for time in (group.mttr_h, group.mrt_h, group.diagnostic_interval_h)]


def _several_tests(key: str, group: Group) -> Iterator[list[str]]:
    for test in group.tests:
        devices = ", ".join(test.devices) or "all"
        offsets = f"\n{', '.join(map(number, test.offsets_h))}" if test.offsets_h else ""
        out = f"{number(test.duration_h)}, {test.bypass or 'none'}"
        figures = (number(test.interval_h), number(test.coverage))
        yield [key, test.name or NONE, *figures, devices + offsets, out, number(test.error)]


def _functions(reported: ReportedRevision) -> list[Piece]:
    rows = []
    for key, function in reported.plant.functions.items():
        field = "target_rrf" if function.demand == "low" else "target_pfh"
        aim = f"{field} {number(function.target)}"
        if function.target_sil is not None:
            aim = f"target_sil {function.target_sil} ({aim})"
        demand = function.demand + (f"\ndemand_zone {function.demand_zone}" if function.demand_zone else "")
        rows.append([key, demand, aim, ", ".join(map(_entry, function.groups))])
    systems = [
        [key, system.name, ", ".join(system.functions) or "listed because it shares a group"]
        for key, system in reported.plant.systems.items()
    ]
    return [
        *page_layout.table(
            ("Function", "Demand", "Target", "Groups (results add up)"), rows, widths=(1.2, 1.3, 1.8, 3.5)
        ),
        *page_layout.table(("System", "Name", "Functions"), systems, widths=(1.0, 3.0, 3.8)),
    ]


def _entry(entry: str | VotedOtherwise | Alternatives) -> str:
    """An entry of a function, with the beta of alternatives and its source."""
    if not isinstance(entry, Alternatives):
        return in_words(entry)
    return f"{in_words(entry)} (beta {number(entry.stated_beta.beta)}; {entry.stated_beta.source})"


def number(value: float | None) -> str:
    """A number with every digit that was entered; NONE for None.

    >>> number(8760.0), number(0.9), number(None), number(1e-06)
    ('8760', '0.9', '–', '1e-06')
    """
    if value is None:
        return NONE
    return f"{value:.0f}" if value == int(value) and abs(value) < 1e15 else repr(value)
