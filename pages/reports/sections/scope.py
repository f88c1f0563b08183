"""What is in scope: the system with its functions and groups, and of its zones what everybody may read."""

from __future__ import annotations

from datetime import date

from checks.text.number_format import NONE, measure_name, target
from pages.presentation.wording import counted
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed

PARTS = {"sensor": "sensors", "logic": "logic", "final": "final elements"}


def scope(now: Fixed) -> list[Piece]:
    """The system, its functions with targets and demand, and the groups that they use."""
    plant, links = now.plant, now.assessment.links
    functions = [
        [
            key,
            one.name,
            one.demand,
            f"{measure_name(one.demand)} {target(one.demand, one.target)}",
            ", ".join(one.groups),
        ]
        for key, one in plant.functions.items()
    ]
    groups = []
    for key in now.scope.groups:
        one = plant.groups[key]
        others = [other for other in links.systems_of[key] if other != now.scope.system]
        groups.append([key, one.name, PARTS[one.part], str(one.voting), one.zone or "none", ", ".join(others) or NONE])
    return [
        *page_layout.lead(
            f"Safety system {now.system} of {plant.plant.name}: {counted(len(functions), 'function')}, "
            f"{counted(len(groups), 'group')} of channels, {counted(len(now.zones), 'security zone')}."
        ),
        *page_layout.table(
            ("Function", "Name", "Demand", "Target", "Groups"), functions, widths=(1.1, 3.0, 0.8, 1.2, 2.4)
        ),
        *page_layout.table(
            ("Group", "Name", "Part", "Voting", "Zone", "Shared with"), groups, widths=(1.2, 3.4, 1.3, 0.8, 0.7, 1.1)
        ),
    ]


def zones_in_counts(now: Fixed, day: date) -> list[Piece]:
    """What may be said of the zones to everybody: how much was asked, and how many gaps there are."""
    rows = []
    for zone in now.zones:
        system, gaps = now.scope.system, zone.gaps
        accepted = sum(now.records.stays(system, zone.id, one.question, one.value, day) for one in gaps)
        name = now.plant.zones[zone.id].name
        if zone.reviewed:
            told = [f"{zone.asked} of 100", str(len(gaps)), str(accepted)]
        else:
            told = ["not reviewed", NONE, NONE]
        rows.append([zone.id, name, *told, str(len(zone.reach))])
    head = ("Zone", "Name", "Requirements asked", "Gaps", "Of these accepted", "Functions with groups in it")
    return [
        *page_layout.table(head, rows, widths=(0.7, 2.6, 1.5, 0.7, 1.2, 1.3), right=(3, 4, 5)),
        *page_layout.small(
            "Functions with groups in it: those of the whole plant. Levels, gaps, actions and security "
            "answers stand in the security annex, which is handed out by need to know."
        ),
    ]
