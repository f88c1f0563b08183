"""Who took part, by role, and how their names are known. Dissents are left to their own section, by role only."""

from __future__ import annotations

from collections import Counter

from checks.access.names import same
from checks.access.roles import HALF_OF
from checks.journal.event import DECLARED
from checks.signoff import independence
from checks.signoff.independence import Part
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed

MANNER = "A role at the screen is the one that such a deed takes: the journal keeps what somebody did, not as what they acted."


def took_part(now: Fixed) -> list[Piece]:
    """Who attended, by role; who answered; and how the names are known."""
    return [
        *page_layout.heading("At the sessions", 2),
        *_attended(now),
        *page_layout.heading("At the screen", 2),
        *_at_the_screen(now),
        *_answered(now),
        *page_layout.paragraph(_known(now)),
    ]


def _attended(now: Fixed) -> list[Piece]:
    days: dict[tuple[str, str], dict[str, None]] = {}
    for one in now.body["attended"]:
        days.setdefault((one["role"] or "no role given", one["name"]), {})[one["on"]] = None
    if not days:
        return page_layout.paragraph("No attendance is recorded.")
    rows = [[role, name, ", ".join(sorted(on))] for (role, name), on in sorted(days.items())]
    return page_layout.table(("Role", "Name", "Days"), rows, widths=(2.4, 3.4, 2.0))


def _at_the_screen(now: Fixed) -> list[Piece]:
    done: dict[tuple[str, str], list[Part]] = {}
    for event in now.record.events:
        part = independence.part_of(event) if event.seq <= now.revision.cause.seq else None
        if part is not None and part.words:
            done.setdefault((event.by, event.identity), []).append(part)
    rows = []
    for (name, identity), parts in sorted(done.items()):
        said = "; ".join(f"{part.words} ({times})" for part, times in Counter(parts).items())
        roles = [*independence.roles_for(parts), *_at_the_sessions(now, name)]
        rows.append([name or "no name given", "\n".join(roles), said, identity])
    head = ("Name", "Role", "What", "How the name is known")
    return [*page_layout.table(head, rows, widths=(2.0, 2.2, 2.9, 1.5)), *page_layout.small(MANNER)]


def _at_the_sessions(now: Fixed, name: str) -> list[str]:
    """Roles in which somebody of this name attended."""
    roles = {one["role"]: None for one in now.body["attended"] if one["role"] and same(one["name"], name)}
    return [f"at the sessions: {role}" for role in roles]


def _answered(now: Fixed) -> list[Piece]:
    names: dict[str, int] = {}
    for one in now.assessment.answers:
        names[one.by or "nobody named"] = names.get(one.by or "nobody named", 0) + 1
    said = "; ".join(f"{name} ({many})" for name, many in sorted(names.items()))
    return page_layout.paragraph(f"Answers of this revision were given by: {said or 'nobody yet'}.")


def _known(now: Fixed) -> str:
    declared = sum(one.identity == DECLARED for one in now.record.events)
    said = "Where a name is self-declared it is what somebody typed, and nobody checked it"
    if not declared:
        said = "No name in the journal shown here is self-declared"
    roles = " and ".join(f"the {half} half by the {role}" for role, half in HALF_OF.items())
    return f"{said}. A signature rests on the signer's own key, which the owner enrolled; {roles}."
