"""Scope: the system with its functions and groups, and its zones as far as every reader may know them."""

from __future__ import annotations

from datetime import date

from checks.plantfile.plant import in_words
from checks.text.number_format import NONE, measure_name, target
from pages.presentation.direction import isolated
from pages.presentation.wording import counted
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

DEMANDS = {"low": "low", "high": "high or continuous"}
PARTS = {"sensor": "sensors", "logic": "logic", "final": "final elements"}


def scope(reported: ReportedRevision) -> list[Piece]:
    """The system, its functions with target and demand mode, and the groups they use."""
    plant, links = reported.plant, reported.assessment.links
    functions = [
        [
            key,
            function.name,
            DEMANDS[function.demand],
            f"{measure_name(function.demand)} {target(function.demand, function.target, function.target_sil)}",
            ", ".join(map(in_words, function.groups)),
        ]
        for key, function in plant.functions.items()
    ]
    groups = []
    for key in reported.scope.groups:
        group = plant.groups[key]
        others = [other for other in links.systems_of[key] if other != reported.scope.system]
        groups.append(
            [key, group.name, PARTS[group.part], group.arrangement, group.zone or "none", ", ".join(others) or NONE]
        )
    return [
        *page_layout.lead(
            f"Safety system {reported.system} of {isolated(plant.plant.name)}: {counted(len(functions), 'function')}, "
            f"{counted(len(groups), 'group')} of channels, {counted(len(reported.zones), 'security zone')}."
        ),
        *page_layout.table(
            ("Function", "Name", "Demand", "Target", "Groups"), functions, widths=(1.1, 2.8, 1.0, 1.2, 2.4)
        ),
        *page_layout.table(
            ("Group", "Name", "Part", "Voting", "Zone", "Shared with"), groups, widths=(1.2, 3.4, 1.3, 0.8, 0.7, 1.1)
        ),
    ]


def security_summary(reported: ReportedRevision, day: date) -> list[Piece]:
    """Requirements asked and number of gaps of each zone: what every reader may know."""
    rows = []
    for zone in reported.zones:
        system, gaps = reported.scope.system, zone.gaps
        accepted = sum(reported.records.stays(system, zone.id, gap.question, gap.value, day) for gap in gaps)
        name = reported.plant.zones[zone.id].name
        if zone.reviewed:
            counts = [f"{zone.asked} of 100", str(len(gaps)), str(accepted)]
        else:
            counts = ["not reviewed", NONE, NONE]
        rows.append([zone.id, name, *counts, str(len(zone.reach))])
    head = ("Zone", "Name", "Requirements asked", "Gaps", "Of which accepted", "Functions with programmable groups")
    return [
        *page_layout.table(head, rows, widths=(0.7, 2.6, 1.5, 0.7, 1.2, 1.3), right=(3, 4, 5)),
        *page_layout.small(
            "Functions with programmable groups: counted over the whole plant. Levels, gaps, actions and security answers are in the "
            "security annex, which is issued on a need-to-know basis."
        ),
    ]
