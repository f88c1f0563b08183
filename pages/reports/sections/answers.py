"""Answers with evidence, each listed once, and dissents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from checks.access.names import same
from checks.assessment.results import GroupResult
from checks.assessment.zones import LEFT_OUT
from checks.plantfile.plant import Answer
from checks.recording.answer_records import STRENGTHS
from pages.presentation.direction import isolated
from pages.presentation.wording import ANSWERS, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Entry, ReportedRevision

HEAD = ("Id", "Question", "Answer", "Evidence, note, answered by")
WIDTHS = (0.9, 3.2, 1.15, 3.25)


def common_cause(reported: ReportedRevision) -> list[Piece]:
    """Common-cause answers: first those that apply to several groups, then group by group."""
    pieces = [
        *page_layout.lead(
            "Each answer is listed once, where it was given. An answer for the plant or the system applies to every group "
            "without an answer of its own; each group lists these by id."
        )
    ]
    systems = (f"system:{key}" for key in (reported.scope.system, *reported.scope.sharing))
    for of in ("plant", *systems, *(f"zone:{key}" for key in reported.scope.zones)):
        rows = [*_rows(reported, reported.answers(of, security=False)), *_rows_from_security(reported, of)]
        if rows:
            pieces += [*page_layout.heading(addressee_title(reported, of), 2), *_table(rows)]
    for group in reported.groups:
        pieces += _group_section(reported, group)
    return pieces


def addressee_title(reported: ReportedRevision, of: str) -> str:
    """Plant, system, zone or group that an answer is given for, with id and name."""
    kind, _, key = of.partition(":")
    blocks: dict[str, Any] = {
        "system": reported.plant.systems,
        "group": reported.plant.groups,
        "zone": reported.plant.zones,
    }
    if kind == "plant":
        return "The whole plant"
    return f"{kind.capitalize()} {titled(key, blocks[kind][key].name)}"


def _table(rows: Sequence[Sequence[str]]) -> list[Piece]:
    return page_layout.table(HEAD, rows, widths=WIDTHS)


def _rows(reported: ReportedRevision, answers: Iterable[Answer]) -> list[list[str]]:
    return [_row(reported, answer.question, answer, _answer_lines(reported, answer)) for answer in answers]


def _row(reported: ReportedRevision, name: str, answer: Answer, lines: Iterable[str]) -> list[str]:
    question = reported.assessment.banks.questions[name]
    return [name, question.text or question.title, ANSWERS[answer.value], "\n".join(lines)]


def _rows_from_security(reported: ReportedRevision, of: str) -> list[list[str]]:
    """Unanswered common-cause questions that take the security answer given for ``of``."""
    rows = {}
    for group in reported.groups:
        for name in reported.assessment.asked(group.id):
            answer = group.answers.get(name)
            if answer is not None and answer.question != name and answer.of == of:
                rows[name] = _row(reported, name, answer, _security_source(reported, answer))
    return list(rows.values())


def _security_source(reported: ReportedRevision, answer: Answer) -> Iterator[str]:
    """Source and evidence of an answer taken from the security half. The evidence of a gap belongs to the annex."""
    yield f"Taken from the answer to {answer.question}, which asks the same in the security half."
    if answer.claimed or answer.value == LEFT_OUT:
        yield from _answer_lines(reported, answer)
    else:
        yield "Its evidence and note are in the security annex."


def _answer_lines(reported: ReportedRevision, answer: Answer) -> Iterator[str]:
    """Lines of evidence, note, and person and date of an answer."""
    evidence = reported.evidence.get((answer.question, answer.of), [])
    for item in evidence:
        yield _evidence_line(item)
    if answer.evidence:
        yield answer.evidence
    elif answer.claimed and not evidence:
        yield "No evidence is named."
    if answer.note:
        yield f"Note: {answer.note}"
    if answer.by or answer.on:
        yield ", ".join(filter(None, (isolated(answer.by), answer.on)))
    entered = reported.entered.get((answer.question, answer.of))
    if entered is not None and entered.by and not same(entered.by, answer.by):
        yield f"Entered by {isolated(entered.by)}, {entered.day}"
    if (confirmed := reported.confirmed.get((answer.question, answer.of))) is not None:
        yield f"Confirmed by {isolated(confirmed.by) or 'somebody'}, {confirmed.day}"


def _evidence_line(item: Entry) -> str:
    named = " ".join(isolated(item[name]) for name in ("kind", "identifier", "revision", "dated") if item[name])
    until = item["valid_until"] or isolated(item["until_event"])
    valid = f"; valid until {until}" if until else ""
    return (
        f"{named}: {isolated(item['shows'])} (strength {item['strength']} of 5, {STRENGTHS[item['strength']]}{valid})"
    )


def _group_section(reported: ReportedRevision, group: GroupResult) -> list[Piece]:
    asked = list(reported.assessment.asked(group.id))
    pieces = page_layout.heading(f"Group {titled(group.id, reported.names[group.id])}", 2)
    if not asked:
        without = "its result is stated" if group.stated else "it has no redundancy"
        why = "its beta is specified" if group.voting.redundant else without
        return [*pieces, *page_layout.paragraph(f"No common-cause question is asked of {group.id}: {why}.")]
    own = [answer for answer in reported.answers(f"group:{group.id}", security=False) if answer.question in asked]
    rows = [*_rows(reported, own), *_rows_from_security(reported, f"group:{group.id}")]
    pieces += _table(rows) if rows else []
    return [*pieces, *_inherited_answers(reported, group, asked)]


def _inherited_answers(reported: ReportedRevision, group: GroupResult, asked: Sequence[str]) -> list[Piece]:
    """Answers that a group takes from its system, its zone or the plant, and unanswered questions."""
    questions: dict[str, list[str]] = {}
    for name in asked:
        answer = group.answers.get(name)
        if answer is None:
            questions.setdefault("Not answered", []).append(name)
        elif answer.of != f"group:{group.id}":
            taken = "" if answer.question == name else f" (taken from the answer to {answer.question})"
            questions.setdefault(addressee_title(reported, answer.of), []).append(
                f"{name} {ANSWERS[answer.value].lower()}{taken}"
            )
    rows = [[of, ", ".join(names)] for of, names in questions.items()]
    return page_layout.table(("Taken from", "Questions"), rows, widths=(2.0, 6.5)) if rows else []


def dissents(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """Dissents of one half by role, with what would settle each."""
    rows = []
    for dissent in reported.of_half("dissents", security=security):
        adopted = reported.assessment.answers.get(dissent["question"], dissent["of"])
        about = f"{dissent['question']} of {dissent['of']}"
        outcome = f"settled by {dissent['closed']}" if dissent["closed"] else "open"
        counted = ANSWERS[adopted.value] if adopted else "none"
        rows.append(
            [
                about,
                f"{ANSWERS[dissent['value']]}; in effect: {counted}",
                _role_and_reason(dissent),
                f"{dissent['settles']}\n{outcome}",
            ]
        )
    if rows:
        head = ("Answer", "Dissenting answer", "Role and reason", "What would settle it")
        pieces = page_layout.table(head, rows, widths=(1.6, 1.6, 3.0, 2.6))
    else:
        pieces = page_layout.paragraph("No dissent is recorded.")
    others = 0 if security else len(reported.of_half("dissents", security=True))
    if others:
        counted = f"Dissents on security answers: {others}. They are in the security annex."
        pieces += page_layout.paragraph(counted)
    return pieces


def _role_and_reason(dissent: Entry) -> str:
    return f"{isolated(dissent['role']) or 'a member of the team'}: {dissent['reason']}"


def security(reported: ReportedRevision) -> list[Piece]:
    """Security answers: those for the plant, then zone by zone."""
    pieces: list[Piece] = []
    for of in (
        "plant",
        *(f"zone:{key}" for key in reported.scope.zones),
        *(f"group:{key}" for key in reported.scope.groups),
    ):
        answers = reported.answers(of, security=True)
        if answers:
            pieces += [*page_layout.heading(addressee_title(reported, of), 2), *_table(_rows(reported, answers))]
    return pieces or page_layout.paragraph("No security question has been answered yet.")
