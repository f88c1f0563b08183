"""Zones on paper: what they hold, levels against target, gaps with what closes them, and gaps that were accepted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from checks.assessment import answer_effects, zones
from checks.assessment.answer_effects import Effect
from checks.assessment.results import Gap, ZoneResult
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.level_rows import level_rows
from pages.presentation.wording import ANSWERS, counted, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed

LEVEL_COLUMNS = ("FR", "Requirement", "Target", "Indicated", "Short", "Asked")


def called(now: Fixed, one: ZoneResult) -> str:
    """Id and name of a zone."""
    return titled(one.id, now.plant.zones[one.id].name)


def overview(now: Fixed) -> list[Piece]:
    """Zones of the system with their gaps and reach, and every conduit that ends in one of them."""
    rows = []
    for one in now.zones:
        held = now.plant.zones[one.id]
        gaps = str(len(one.gaps)) if one.reviewed else "not reviewed"
        kind = "safety related" if held.safety_related else "not safety related"
        rows.append([one.id, held.name, f"{kind}\n{held.note}".strip(), gaps, str(len(one.reach))])
    ways = [
        [key, " and ".join(one.between), one.flow or NONE, one.note or NONE] for key, one in now.plant.conduits.items()
    ]
    head = ("Zone", "Name", "What it holds", "Gaps", "Functions with groups in it")
    conduits = page_layout.table(("Conduit", "Between", "Flow", "Note"), ways, widths=(1.0, 1.6, 1.4, 4.0))
    return [
        *page_layout.lead("Zones in which groups of this system lie, and the conduits that end in one of them."),
        *page_layout.table(head, rows, widths=(0.7, 1.8, 3.4, 0.9, 1.2), right=(3, 4)),
        *(conduits if ways else page_layout.paragraph("No conduit is described.")),
    ]


def zone(now: Fixed, one: ZoneResult, day: date) -> list[Piece]:
    """One zone: its reach, its levels, its gaps and what was accepted of them."""
    reach = ", ".join(one.reach) or "no function"
    pieces = page_layout.paragraph(f"Groups of {counted(len(one.reach), 'function')} lie in this zone: {reach}.")
    pieces += page_layout.heading("Levels", 2) + _levels(now, one)
    if not one.reviewed:
        said = "Not reviewed: no topic of this zone has been answered, so it has no gap list yet."
        return pieces + page_layout.paragraph(said)
    return [*pieces, *page_layout.heading("Gaps", 2), *_gaps(now, one), *_accepted(now, one, day)]


def _levels(now: Fixed, one: ZoneResult) -> list[Piece]:
    rows = [[row[name] for name in LEVEL_COLUMNS] for row in level_rows(one)]
    said = (
        f"{one.asked} of 100 requirements were asked, directly or through a topic, {one.not_asked} were not. Indicated: the "
        "largest level at which every asked requirement is met. Levels are kept apart, never averaged, and called achieved only "
        "when all requirements are asked (IEC 62443-3-3:2013)."
    )
    pieces = [
        *page_layout.table(LEVEL_COLUMNS, rows, widths=(0.7, 3.2, 0.8, 1.4, 0.8, 1.1), right=(5,)),
        *page_layout.small(said),
    ]
    told = zones.requirements_asked(one.held, now.assessment.banks)
    missing = [name for name in now.assessment.banks.requirements if name not in told] if one.reviewed else []
    return pieces + (page_layout.small(f"Not asked: {', '.join(missing)}.") if missing else [])


def _gaps(now: Fixed, one: ZoneResult) -> list[Piece]:
    effects: list[tuple[Gap, Effect | None]] = [(gap, None) for gap in one.gaps]
    if now.assessment.reproduced:
        effects = answer_effects.gap_effects(now.assessment, one.id)
    if not effects:
        return page_layout.paragraph("No gap is on the list.")
    rows = [_gap(now, gap, effect) for gap, effect in effects]
    head = ("Gap", "What is asked, and what closes it", "Answer", "FR, SR", "If closed")
    return [
        *page_layout.lead(
            f"{counted(len(rows), 'gap')}, the one that moves the worst function of the zone most on top."
        ),
        *page_layout.table(head, rows, widths=(0.9, 3.9, 0.9, 1.5, 1.7)),
        *page_layout.small(
            "Weight 3 counts most (house rule). If closed: the worst function that this zone can move, now and with this gap "
            "alone closed. A figure moves when the answer changes with evidence, never on a promise."
        ),
    ]


def _gap(now: Fixed, gap: Gap, effect: Effect | None) -> list[str]:
    question = now.assessment.banks.every[gap.question]
    named = f"{gap.question}\nweight {gap.weight}" if gap.is_topic else gap.question
    asked = question.text or question.title
    closes = f"{asked}\nCloses it: {gap.action}" if gap.action else asked
    where = "\n".join(filter(None, (", ".join(gap.fr), ", ".join(gap.requirements)))) or NONE
    return [named, closes, ANSWERS[gap.value], where, _effect(effect)]  # type: ignore[index]


def _effect(effect: Effect | None) -> str:
    if effect is None:
        return NONE
    of = f"{measure_name(effect.demand)} of {effect.function}"
    now, then = (measure(effect.demand, value) for value in (effect.now, effect.then))
    if effect.gain <= 1.0:
        return f"{of} {now}: no change"
    return f"{of} {f'{now} to {then}' if now != then else now}: better by a factor {factor(effect.gain)}"


def _accepted(now: Fixed, one: ZoneResult, day: date) -> list[Piece]:
    together: dict[tuple[str, str, str], list[str]] = {}
    for gap in one.gaps:
        held = now.records.accepted.get((now.scope.system, one.id, gap.question))
        if held is not None:
            until = held.until + (
                "" if held.covers(gap.value, day) else "\nended" if not held.holds(day) else "\nworse since"
            )
            together.setdefault((f"{held.cause.by}, {held.cause.day}", until, held.reason), []).append(gap.question)
    rows = [[", ".join(names), *told] for told, names in together.items()]
    return [*page_layout.heading("Accepted residual risks", 2), *_told(rows)]


def _told(rows: Sequence[Sequence[str]]) -> list[Piece]:
    if not rows:
        return page_layout.paragraph("No gap of this zone is accepted.")
    head = ("Gaps", "Accepted by, on", "Until", "Why they can stay, and what is done meanwhile")
    return page_layout.table(head, rows, widths=(2.6, 1.9, 1.1, 3.4))
