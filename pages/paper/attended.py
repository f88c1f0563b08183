"""Who took part, by role, and how their names are known. Dissents are left to their own section, by role only."""

from __future__ import annotations

from collections.abc import Iterator

from checks.record import people
from checks.record.journal import DECLARED
from pages.paper import sheet
from pages.paper.fixed import Fixed
from pages.paper.sheet import Piece

DEEDS = {
    "answer": "answered",
    "confirmed": "confirmed answers",
    "evidence": "recorded evidence",
    "attendance": "recorded who attended",
    "revision": "put a revision up for review",
}
"""What somebody did at the screen, by kind of event."""


def took_part(now: Fixed) -> list[Piece]:
    """Who attended, by role; who answered; and how the names are known."""
    return [
        *sheet.heading("At the sessions", 2),
        *_attended(now),
        *sheet.heading("At the screen", 2),
        *sheet.table(("Name", "What", "How the name is known"), list(_did(now)), widths=(2.4, 3.4, 2.0)),
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


def _did(now: Fixed) -> Iterator[list[str]]:
    done: dict[tuple[str, str], dict[str, int]] = {}
    for event in now.record.events:
        if event.seq <= now.revision.cause.seq and event.kind in DEEDS:
            told = done.setdefault((event.by, event.identity), {})
            told[DEEDS[event.kind]] = told.get(DEEDS[event.kind], 0) + 1
    for (name, identity), told in sorted(done.items()):
        said = "; ".join(f"{what} ({times})" for what, times in told.items())
        yield [name or "no name given", said, identity]


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
