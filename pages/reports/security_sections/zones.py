"""Zones on paper: contents, levels against target, gaps with the measures that close them, accepted residual risks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from checks.assessment import answer_effects, zones
from checks.assessment.answer_effects import Effect
from checks.assessment.results import Gap, ZoneResult
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.direction import isolated
from pages.presentation.level_rows import level_rows
from pages.presentation.wording import ANSWERS, counted, flow, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

LEVEL_COLUMNS = {
    "FR": "FR",
    "Requirement": "Requirement",
    "Target": "Target (SL-T)",
    "Indicated": "Indicated level",
    "Short": "Short",
    "Asked": "Asked",
}
"""Columns of the level rows and their heads on paper."""


def zone_title(reported: ReportedRevision, zone: ZoneResult) -> str:
    """Id and name of a zone."""
    return titled(zone.id, reported.plant.zones[zone.id].name)


def overview(reported: ReportedRevision) -> list[Piece]:
    """Zones of the system with their gaps and reach, and every conduit connected to one of them."""
    rows = []
    for zone in reported.zones:
        described = reported.plant.zones[zone.id]
        gaps = str(len(zone.gaps)) if zone.reviewed else "not reviewed"
        kind = "safety related" if described.safety_related else "not safety related"
        rows.append([zone.id, described.name, f"{kind}\n{described.note}".strip(), gaps, str(len(zone.reach))])
    ways = [
        [key, " and ".join(conduit.between), flow(conduit), conduit.note or NONE]
        for key, conduit in reported.plant.conduits.items()
    ]
    head = ("Zone", "Name", "Contents", "Gaps", "Functions with programmable groups")
    conduits = page_layout.table(("Conduit", "Between", "Flow", "Note"), ways, widths=(1.0, 1.6, 1.4, 4.0))
    return [
        *page_layout.lead("Zones that contain groups of this system, and the conduits connected to them."),
        *page_layout.table(head, rows, widths=(0.7, 1.8, 3.4, 0.9, 1.2), right=(3, 4)),
        *(conduits if ways else page_layout.paragraph("No conduit is described.")),
    ]


def zone_section(reported: ReportedRevision, zone: ZoneResult, day: date) -> list[Piece]:
    """One zone: reach, levels, gaps and accepted residual risks."""
    reach = ", ".join(zone.reach) or "no function"
    pieces = page_layout.paragraph(
        f"Programmable groups of {counted(len(zone.reach), 'function')} lie in this zone: {reach}."
    )
    pieces += page_layout.heading("Levels", 2) + _levels(reported, zone)
    if not zone.reviewed:
        text = "Not reviewed: no topic of this zone has been answered, so it has no gap list yet."
        return pieces + page_layout.paragraph(text)
    return [*pieces, *page_layout.heading("Gaps", 2), *_gaps(reported, zone), *_accepted(reported, zone, day)]


def _levels(reported: ReportedRevision, zone: ZoneResult) -> list[Piece]:
    rows = [[row[name] for name in LEVEL_COLUMNS] for row in level_rows(zone)]
    text = (
        f"{zone.asked} of 100 requirements were asked, directly or through a topic, {zone.not_asked} were not. Indicated level: "
        "the highest level at which every asked requirement is met. Levels are per foundational requirement, never averaged, and "
        "called achieved only when all requirements are asked (IEC 62443-3-3:2013)."
    )
    pieces = [
        *page_layout.table(tuple(LEVEL_COLUMNS.values()), rows, widths=(0.7, 3.0, 1.2, 1.4, 0.7, 1.1), right=(5,)),
        *page_layout.small(text),
    ]
    asked = zones.requirements_asked(zone.answers, reported.assessment.banks)
    missing = [name for name in reported.assessment.banks.requirements if name not in asked] if zone.reviewed else []
    return pieces + (page_layout.small(f"Not asked: {', '.join(missing)}.") if missing else [])


def _gaps(reported: ReportedRevision, zone: ZoneResult) -> list[Piece]:
    effects: list[tuple[Gap, Effect | None]] = [(gap, None) for gap in zone.gaps]
    if reported.assessment.reproduced:
        effects = answer_effects.gap_effects(reported.assessment, zone.id)
    if not effects:
        return page_layout.paragraph("No gaps in this zone.")
    rows = [_gap(reported, gap, effect) for gap, effect in effects]
    head = ("Gap", "Question, and what closes the gap", "Answer", "FR, SR", "If closed")
    return [
        *page_layout.lead(f"{counted(len(rows), 'gap')}, sorted by effect on the worst function of the zone."),
        *page_layout.table(head, rows, widths=(0.9, 3.9, 0.9, 1.5, 1.7)),
        *page_layout.small(
            "Weight 3 counts most (house rule). If closed: result of the worst function that this zone affects, now and with "
            "only this gap closed. A figure changes when the answer changes with evidence, never on a promise."
        ),
    ]


def _gap(reported: ReportedRevision, gap: Gap, effect: Effect | None) -> list[str]:
    question = reported.assessment.banks.questions[gap.question]
    named = f"{gap.question}\nweight {gap.weight}" if gap.is_topic else gap.question
    asked = question.text or question.title
    closes = f"{asked}\nCloses it: {gap.action}" if gap.action else asked
    where = "\n".join(filter(None, (", ".join(gap.fr), ", ".join(gap.requirements)))) or NONE
    return [named, closes, ANSWERS[gap.value], where, _effect(effect)]  # type: ignore[index]


def _effect(effect: Effect | None) -> str:
    if effect is None:
        return NONE
    of = f"{measure_name(effect.demand)} of {effect.function}"
    present, closed = (measure(effect.demand, value) for value in (effect.now, effect.then))
    if effect.gain <= 1.0:
        return f"{of} {present}: no change"
    return (
        f"{of} {f'{present} to {closed}' if present != closed else present}: better by a factor {factor(effect.gain)}"
    )


def _accepted(reported: ReportedRevision, zone: ZoneResult, day: date) -> list[Piece]:
    together: dict[tuple[str, str, str], list[str]] = {}
    for gap in zone.gaps:
        acceptance = reported.records.accepted.get((reported.scope.system, zone.id, gap.question))
        if acceptance is not None:
            until = acceptance.until + (
                ""
                if acceptance.covers(gap.value, day)
                else "\nexpired"
                if not acceptance.holds(day)
                else "\nanswer worse since"
            )
            together.setdefault(
                (f"{isolated(acceptance.cause.by)}, {acceptance.cause.day}", until, acceptance.reason), []
            ).append(gap.question)
    rows = [[", ".join(names), *cells] for cells, names in together.items()]
    return [*page_layout.heading("Accepted residual risks", 2), *_acceptance_table(rows)]


def _acceptance_table(rows: Sequence[Sequence[str]]) -> list[Piece]:
    if not rows:
        return page_layout.paragraph("No residual risk is accepted in this zone.")
    head = ("Gaps", "Accepted by, on", "Until", "Reason, and interim measures")
    return page_layout.table(head, rows, widths=(2.6, 1.9, 1.1, 3.4))
