"""Participants by role, and how their names are known. Dissents have their own section, by role only."""

from __future__ import annotations

from collections import Counter

from checks.access.names import same
from checks.access.roles import HALF_OF
from checks.events.plant import attendance_corrected
from checks.journal.event import DECLARED
from checks.signoff import independence
from checks.signoff.independence import Part
from pages.presentation.direction import isolated
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

MANNER = "Roles at the screen follow from the actions: the audit trail records what a person did, not the role that was selected."


def participants_section(reported: ReportedRevision) -> list[Piece]:
    """Attendance by role, actions at the screen, authors of answers, and how the names are known."""
    return [
        *page_layout.heading("At the sessions", 2),
        *_attendance(reported),
        *_corrected(reported),
        *page_layout.heading("At the screen", 2),
        *_screen_actions(reported),
        *_answer_authors(reported),
        *page_layout.paragraph(_name_sources(reported)),
    ]


def _attendance(reported: ReportedRevision) -> list[Piece]:
    days: dict[tuple[str, str], dict[str, None]] = {}
    for attendance in reported.body["attended"]:
        days.setdefault((attendance["role"] or "no role given", attendance["name"]), {})[attendance["on"]] = None
    if not days:
        return page_layout.paragraph("No attendance is recorded.")
    rows = [[role, name, ", ".join(sorted(on))] for (role, name), on in sorted(days.items())]
    return page_layout.table(("Role", "Name", "Days"), rows, widths=(2.4, 3.4, 2.0))


def _corrected(reported: ReportedRevision) -> list[Piece]:
    """Entries of attendance that were corrected up to now, each with its reason."""
    return page_layout.items(
        f"Corrected: {isolated(body.name)} did not attend on {body.on} ({isolated(body.reason)}); recorded by "
        f"{isolated(event.by)} on {event.at[:10]}"
        for event in reported.record.events
        if event.kind == attendance_corrected.Body.KIND and (body := attendance_corrected.Body.read(event))
    )


def _screen_actions(reported: ReportedRevision) -> list[Piece]:
    done: dict[tuple[str, str], list[Part]] = {}
    for event in reported.record.events:
        part = independence.part_of(event) if event.seq <= reported.revision.cause.seq else None
        if part is not None and part.words:
            done.setdefault((event.by, event.identity), []).append(part)
    rows = []
    for (name, identity), parts in sorted(done.items()):
        deeds = "; ".join(f"{part.words} ({times})" for part, times in Counter(parts).items())
        roles = [*independence.roles_for(parts), *_session_roles(reported, name)]
        rows.append([name or "no name given", "\n".join(roles), deeds, identity])
    head = ("Name", "Role", "Actions", "How the name is known")
    return [*page_layout.table(head, rows, widths=(2.0, 2.2, 2.9, 1.5)), *page_layout.small(MANNER)]


def _session_roles(reported: ReportedRevision, name: str) -> list[str]:
    """Roles in which a person of this name attended."""
    roles = {
        attendance["role"]: None
        for attendance in reported.body["attended"]
        if attendance["role"] and same(attendance["name"], name)
    }
    return [f"at the sessions: {role}" for role in roles]


def _answer_authors(reported: ReportedRevision) -> list[Piece]:
    names: dict[str, int] = {}
    for answer in reported.assessment.answers:
        names[answer.by or "unnamed"] = names.get(answer.by or "unnamed", 0) + 1
    counts = "; ".join(f"{isolated(name)} ({count})" for name, count in sorted(names.items()))
    return page_layout.paragraph(f"Answers of this revision were given by: {counts or 'nobody'}.")


def _name_sources(reported: ReportedRevision) -> str:
    declared = sum(event.identity == DECLARED for event in reported.record.events)
    text = "A self-declared name is shown as typed and was not checked"
    if not declared:
        text = "No name in this audit trail is self-declared"
    roles = " and ".join(f"the {role} signs the {half} half" for role, half in HALF_OF.items())
    return f"{text}. Each signature uses the signer's own key, enrolled by the asset owner; {roles}."
