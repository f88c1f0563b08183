"""Who took part, by role, and how their names are known. Dissents are left to their own section, by role only."""

from __future__ import annotations

from collections import Counter

from checks.record import people, taking_part
from checks.record.journal import DECLARED
from checks.record.taking_part import Part
from pages.paper import sheet
from pages.paper.fixed import Fixed
from pages.paper.sheet import Piece

MANNER = "A role at the screen is the one that such a deed takes: the journal keeps what somebody did, not as what they acted."


def took_part(now: Fixed) -> list[Piece]:
    """Who attended, by role; who answered; and how the names are known."""
    return [
        *sheet.heading("At the sessions", 2),
        *_attended(now),
        *sheet.heading("At the screen", 2),
        *_at_the_screen(now),
        *_answered(now),
        *sheet.paragraph(_known(now)),
    ]


def _attended(now: Fixed) -> list[Piece]:
    days: dict[tuple[str, str], dict[str, None]] = {}
    for one in now.body["attended"]:
        days.setdefault((one["role"] or "no role given", one["name"]), {})[one["on"]] = None
    if not days:
        return sheet.paragraph("No attendance is recorded.")
    rows = [[role, name, ", ".join(sorted(on))] for (role, name), on in sorted(days.items())]
    return sheet.table(("Role", "Name", "Days"), rows, widths=(2.4, 3.4, 2.0))


def _at_the_screen(now: Fixed) -> list[Piece]:
    done: dict[tuple[str, str], list[Part]] = {}
    for event in now.record.events:
        part = taking_part.part_of(event) if event.seq <= now.revision.cause.seq else None
        if part is not None and part.words:
            done.setdefault((event.by, event.identity), []).append(part)
    rows = []
    for (name, identity), parts in sorted(done.items()):
        said = "; ".join(f"{part.words} ({times})" for part, times in Counter(parts).items())
        roles = [*taking_part.roles_for(parts), *_at_the_sessions(now, name)]
        rows.append([name or "no name given", "\n".join(roles), said, identity])
    head = ("Name", "Role", "What", "How the name is known")
    return [*sheet.table(head, rows, widths=(2.0, 2.2, 2.9, 1.5)), *sheet.small(MANNER)]


def _at_the_sessions(now: Fixed, name: str) -> list[str]:
    """Roles in which somebody of this name attended."""
    roles = {one["role"]: None for one in now.body["attended"] if one["role"] and people.same(one["name"], name)}
    return [f"at the sessions: {role}" for role in roles]


def _answered(now: Fixed) -> list[Piece]:
    names: dict[str, int] = {}
    for one in now.assessment.answers:
        names[one.by or "nobody named"] = names.get(one.by or "nobody named", 0) + 1
    said = "; ".join(f"{name} ({many})" for name, many in sorted(names.items()))
    return sheet.paragraph(f"Answers of this revision were given by: {said or 'nobody yet'}.")


def _known(now: Fixed) -> str:
    declared = sum(one.identity == DECLARED for one in now.record.events)
    said = "Where a name is self-declared it is what somebody typed, and nobody checked it"
    if not declared:
        said = "No name in the journal shown here is self-declared"
    roles = " and ".join(f"the {half} half by the {role}" for role, half in people.HALF_OF.items())
    return f"{said}. A signature rests on the signer's own key, which the owner enrolled; {roles}."
