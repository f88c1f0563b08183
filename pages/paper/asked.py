"""Answers with what there is to show for them, each told once, and dissents."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from checks.bank import banks
from checks.groups import questioned
from checks.plant import Answer
from checks.record.session import STRENGTHS
from checks.results import GroupResult
from pages.paper import sheet
from pages.paper.fixed import Fixed, Told, of_security
from pages.paper.sheet import Piece
from pages.shared.wording import ANSWERS, titled

HEAD = ("Id", "Question", "Answer", "Evidence, note, by whom")
WIDTHS = (0.95, 3.25, 1.0, 3.3)
BROAD = ("plant", "system")


def common_cause(now: Fixed) -> list[Piece]:
    """Common-cause answers: first those that speak for several groups, then group by group."""
    pieces = [
        *sheet.lead(
            "Each answer is told once, where it was given. What was answered of the plant or the system speaks for every group "
            "that has no answer of its own; each group lists those by id."
        )
    ]
    for of in ("plant", f"system:{now.scope.system}", *(f"system:{key}" for key in now.scope.sharing)):
        held = now.answers(of, security=False)
        if held:
            pieces += [*sheet.heading(addressed(now, of), 2), *answers(now, held)]
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


def answers(now: Fixed, held: Sequence[Answer]) -> list[Piece]:
    """A table of answers with question and evidence."""
    rows = []
    for one in held:
        question = banks().every[one.question]
        told = "\n".join(_shown(now, one))
        rows.append([one.question, question.text or question.title, ANSWERS[one.value], told])
    return sheet.table(HEAD, rows, widths=WIDTHS)


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
    asked = list(questioned(now.plant.groups[one.id]))
    pieces = sheet.heading(f"Group {titled(one.id, now.names[one.id])}", 2)
    if not asked:
        why = "its beta is stated" if one.voting.redundant else "it has no redundancy"
        return [*pieces, *sheet.paragraph(f"No common-cause question is asked of {one.id}: {why}.")]
    own = [held for held in now.answers(f"group:{one.id}", security=False) if held.question in asked]
    pieces += answers(now, own) if own else []
    return [*pieces, *_from_elsewhere(now, one, asked)]


def _from_elsewhere(now: Fixed, one: GroupResult, asked: Sequence[str]) -> list[Piece]:
    """Which answers a group takes from its system or the plant, and what nobody answered."""
    found: dict[str, list[str]] = {}
    for name in asked:
        held = one.held.get(name)
        if held is None:
            found.setdefault("Nobody answered", []).append(name)
        elif of_security(held.question):
            found.setdefault("The security review", []).append(f"{name} {ANSWERS[held.value].lower()}")
        elif held.of.partition(":")[0] in BROAD:
            found.setdefault(addressed(now, held.of), []).append(f"{name} {ANSWERS[held.value].lower()}")
    rows = [[of, ", ".join(names)] for of, names in found.items()]
    return sheet.table(("Taken from", "Questions"), rows, widths=(2.0, 6.5)) if rows else []


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
        pieces = sheet.table(head, rows, widths=(1.6, 1.6, 3.0, 2.6))
    else:
        pieces = sheet.paragraph("No dissent is recorded.")
    others = 0 if security else len(now.of_half("dissents", security=True))
    if others:
        said = f"Dissents on security answers: {others}. They stand in the security annex."
        pieces += sheet.paragraph(said)
    return pieces


def _held(one: Told) -> str:
    return f"{one['role'] or 'a member of the team'}: {one['reason']}"


def security(now: Fixed) -> list[Piece]:
    """Answers of the security half: those of the plant, then zone by zone."""
    pieces: list[Piece] = []
    for of in ("plant", *(f"zone:{key}" for key in now.scope.zones), *(f"group:{key}" for key in now.scope.groups)):
        held = now.answers(of, security=True)
        if held:
            pieces += [*sheet.heading(addressed(now, of), 2), *answers(now, held)]
    return pieces or sheet.paragraph("No security question has been answered yet.")
