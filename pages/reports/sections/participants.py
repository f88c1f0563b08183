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
from pages.reports.sections.reported_revision import ReportedRevision

MANNER = "A role at the screen is the one that such a deed takes: the journal keeps what somebody did, not as what they acted."


def participants_section(reported: ReportedRevision) -> list[Piece]:
    """Who attended, by role; who answered; and how the names are known."""
    return [
        *page_layout.heading("At the sessions", 2),
        *_attended(reported),
        *page_layout.heading("At the screen", 2),
        *_at_the_screen(reported),
        *_answered(reported),
        *page_layout.paragraph(_known(reported)),
    ]


def _attended(reported: ReportedRevision) -> list[Piece]:
    days: dict[tuple[str, str], dict[str, None]] = {}
    for attendance in reported.body["attended"]:
        days.setdefault((attendance["role"] or "no role given", attendance["name"]), {})[attendance["on"]] = None
    if not days:
        return page_layout.paragraph("No attendance is recorded.")
    rows = [[role, name, ", ".join(sorted(on))] for (role, name), on in sorted(days.items())]
    return page_layout.table(("Role", "Name", "Days"), rows, widths=(2.4, 3.4, 2.0))


def _at_the_screen(reported: ReportedRevision) -> list[Piece]:
    done: dict[tuple[str, str], list[Part]] = {}
    for event in reported.record.events:
        part = independence.part_of(event) if event.seq <= reported.revision.cause.seq else None
        if part is not None and part.words:
            done.setdefault((event.by, event.identity), []).append(part)
    rows = []
    for (name, identity), parts in sorted(done.items()):
        deeds = "; ".join(f"{part.words} ({times})" for part, times in Counter(parts).items())
        roles = [*independence.roles_for(parts), *_at_the_sessions(reported, name)]
        rows.append([name or "no name given", "\n".join(roles), deeds, identity])
    head = ("Name", "Role", "What", "How the name is known")
    return [*page_layout.table(head, rows, widths=(2.0, 2.2, 2.9, 1.5)), *page_layout.small(MANNER)]


def _at_the_sessions(reported: ReportedRevision, name: str) -> list[str]:
    """Roles in which somebody of this name attended."""
    roles = {
        attendance["role"]: None
        for attendance in reported.body["attended"]
        if attendance["role"] and same(attendance["name"], name)
    }
    return [f"at the sessions: {role}" for role in roles]


def _answered(reported: ReportedRevision) -> list[Piece]:
    names: dict[str, int] = {}
    for answer in reported.assessment.answers:
        names[answer.by or "nobody named"] = names.get(answer.by or "nobody named", 0) + 1
    counts = "; ".join(f"{name} ({many})" for name, many in sorted(names.items()))
    return page_layout.paragraph(f"Answers of this revision were given by: {counts or 'nobody yet'}.")


def _known(reported: ReportedRevision) -> str:
    declared = sum(event.identity == DECLARED for event in reported.record.events)
    text = "Where a name is self-declared it is what somebody typed, and nobody checked it"
    if not declared:
        text = "No name in the journal shown here is self-declared"
    roles = " and ".join(f"the {half} half by the {role}" for role, half in HALF_OF.items())
    return f"{text}. A signature rests on the signer's own key, which the owner enrolled; {roles}."
