"""Answers with what there is to show for them, each told once, and dissents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from checks.assessment.results import GroupResult
from checks.assessment.zones import LEFT_OUT
from checks.plantfile.plant import Answer
from checks.recording.session import STRENGTHS
from pages.presentation.wording import ANSWERS, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed, Told

HEAD = ("Id", "Question", "Answer", "Evidence, note, by whom")
WIDTHS = (0.95, 3.25, 1.0, 3.3)


def common_cause(now: Fixed) -> list[Piece]:
    """Common-cause answers: first those that speak for several groups, then group by group."""
    pieces = [
        *page_layout.lead(
            "Each answer is told once, where it was given. What was answered of the plant or the system speaks for every group "
            "that has no answer of its own; each group lists those by id."
        )
    ]
    systems = (f"system:{key}" for key in (now.scope.system, *now.scope.sharing))
    for of in ("plant", *systems, *(f"zone:{key}" for key in now.scope.zones)):
        rows = [*_rows(now, now.answers(of, security=False)), *_taken(now, of)]
        if rows:
            pieces += [*page_layout.heading(addressed(now, of), 2), *_table(rows)]
    for one in now.groups:
        pieces += _group(now, one)
    return pieces


def addressed(now: Fixed, of: str) -> str:
    """Of whom an answer was given, with the name."""
    kind, _, key = of.partition(":")
    blocks: dict[str, Any] = {"system": now.plant.systems, "group": now.plant.groups, "zone": now.plant.zones}
    if kind == "plant":
        return "The whole plant"
    return f"{kind.capitalize()} {titled(key, blocks[kind][key].name)}"


def _table(rows: Sequence[Sequence[str]]) -> list[Piece]:
    return page_layout.table(HEAD, rows, widths=WIDTHS)


def _rows(now: Fixed, held: Iterable[Answer]) -> list[list[str]]:
    return [_row(now, one.question, one, _shown(now, one)) for one in held]


def _row(now: Fixed, name: str, one: Answer, told: Iterable[str]) -> list[str]:
    question = now.assessment.banks.every[name]
    return [name, question.text or question.title, ANSWERS[one.value], "\n".join(told)]


def _taken(now: Fixed, of: str) -> list[list[str]]:
    """Common-cause questions that nobody answered and for which a security answer of this addressee speaks."""
    found = {}
    for group in now.groups:
        for name in now.assessment.questioned(group.id):
            one = group.held.get(name)
            if one is not None and one.question != name and one.of == of:
                found[name] = _row(now, name, one, _borrowed(now, one))
    return list(found.values())


def _borrowed(now: Fixed, one: Answer) -> Iterator[str]:
    """Where an answer was taken from, with its evidence. What stands beside a gap belongs to the annex."""
    yield f"Taken from the answer to {one.question}, which asks the same in the security half."
    if one.claimed or one.value == LEFT_OUT:
        yield from _shown(now, one)
    else:
        yield "What stands beside it is told in the security annex."


def _shown(now: Fixed, one: Answer) -> Iterator[str]:
    """Evidence and note of an answer and who gave it, a line each."""
    held = now.evidence.get((one.question, one.of), [])
    for told in held:
        yield _evidence(told)
    if one.evidence:
        yield one.evidence
    elif one.claimed and not held:
        yield "No evidence is named."
    if one.note:
        yield f"Note: {one.note}"
    if one.by or one.on:
        yield ", ".join(filter(None, (one.by, one.on)))


def _evidence(told: Told) -> str:
    named = " ".join(filter(None, (told["kind"], told["identifier"], told["revision"], told["dated"])))
    until = told["valid_until"] or told["until_event"]
    valid = f"; valid until {until}" if until else ""
    return f"{named}: {told['shows']} (strength {told['strength']} of 5, {STRENGTHS[told['strength']]}{valid})"


def _group(now: Fixed, one: GroupResult) -> list[Piece]:
    asked = list(now.assessment.questioned(one.id))
    pieces = page_layout.heading(f"Group {titled(one.id, now.names[one.id])}", 2)
    if not asked:
        why = "its beta is specified" if one.voting.redundant else "it has no redundancy"
        return [*pieces, *page_layout.paragraph(f"No common-cause question is asked of {one.id}: {why}.")]
    own = [held for held in now.answers(f"group:{one.id}", security=False) if held.question in asked]
    rows = [*_rows(now, own), *_taken(now, f"group:{one.id}")]
    pieces += _table(rows) if rows else []
    return [*pieces, *_from_elsewhere(now, one, asked)]


def _from_elsewhere(now: Fixed, one: GroupResult, asked: Sequence[str]) -> list[Piece]:
    """Which answers a group takes from its system, its zone or the plant, and what nobody answered."""
    found: dict[str, list[str]] = {}
    for name in asked:
        held = one.held.get(name)
        if held is None:
            found.setdefault("Nobody answered", []).append(name)
        elif held.of != f"group:{one.id}":
            taken = "" if held.question == name else f" (taken from the answer to {held.question})"
            found.setdefault(addressed(now, held.of), []).append(f"{name} {ANSWERS[held.value].lower()}{taken}")
    rows = [[of, ", ".join(names)] for of, names in found.items()]
    return page_layout.table(("Taken from", "Questions"), rows, widths=(2.0, 6.5)) if rows else []


def dissents(now: Fixed, *, security: bool) -> list[Piece]:
    """Dissents of one half, by role, with what would settle each."""
    rows = []
    for one in now.of_half("dissents", security=security):
        adopted = now.assessment.answers.get(one["question"], one["of"])
        about = f"{one['question']} of {one['of']}"
        stands = f"settled by {one['closed']}" if one["closed"] else "open"
        said = ANSWERS[adopted.value] if adopted else "none"
        rows.append([about, f"{ANSWERS[one['value']]}; counts: {said}", _held(one), f"{one['settles']}\n{stands}"])
    if rows:
        head = ("Answer", "Held", "By whom and why", "What would settle it")
        pieces = page_layout.table(head, rows, widths=(1.6, 1.6, 3.0, 2.6))
    else:
        pieces = page_layout.paragraph("No dissent is recorded.")
    others = 0 if security else len(now.of_half("dissents", security=True))
    if others:
        said = f"Dissents on security answers: {others}. They stand in the security annex."
        pieces += page_layout.paragraph(said)
    return pieces


def _held(one: Told) -> str:
    return f"{one['role'] or 'a member of the team'}: {one['reason']}"


def security(now: Fixed) -> list[Piece]:
    """Answers of the security half: those of the plant, then zone by zone."""
    pieces: list[Piece] = []
    for of in ("plant", *(f"zone:{key}" for key in now.scope.zones), *(f"group:{key}" for key in now.scope.groups)):
        held = now.answers(of, security=True)
        if held:
            pieces += [*page_layout.heading(addressed(now, of), 2), *_table(_rows(now, held))]
    return pieces or page_layout.paragraph("No security question has been answered yet.")
