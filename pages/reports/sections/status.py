"""Where a revision stands on the day of printing: its hash, its signatures, and what was still to confirm."""

from __future__ import annotations

from datetime import date

from checks.signoff import signers
from checks.state.entries import HALVES, SENT_BACK, VOID, Signature
from checks.text.number_format import NONE
from pages.presentation.wording import covers
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed, of_security

WITHHELD = "told in the security annex"


def stands(now: Fixed, day: date, *, security: bool) -> list[Piece]:
    """The revision, its state on a day, and its signatures; ``security``: with what the security half alone may read."""
    one = now.revision
    state, why = now.records.state(one, day, now.assessment.editions.bank_scores)
    pieces = [
        *page_layout.lead(
            f"On {day} revision {one.number} of {one.system} is {state}: {_why(now, state, why, security=security)}."
        ),
        *page_layout.facts(
            [
                ("Revision", f"{one.number} of {now.system}"),
                (
                    "Fixed",
                    f"{one.cause.day} (UTC) by {one.cause.by or 'somebody who gave no name'}, event {one.cause.seq}",
                ),
                ("SHA-256", one.hash),
            ]
        ),
        *_signatures(now, security=security),
        *_samples(now, security=security),
    ]
    return pieces + _to_confirm(now, security=security)


def _why(now: Fixed, state: str, why: str, *, security: bool) -> str:
    """Why a revision stands so, without words that name a gap to those who may not read them."""
    if security:
        return why
    if state == SENT_BACK and (sent := now.revision.comments[-1][1]).what.endswith("security half"):
        return f"by {sent.by or 'somebody'}, {sent.day}; the comments are {WITHHELD}"
    cause = now.revision.voided
    event = now.event(cause.seq) if state == VOID and cause else None
    if cause and event and of_security(event.content.get("question", "")):
        return f"an answer of the security half changed, or what stands beside it, {cause.day} (event {cause.seq})"
    return why


def _signatures(now: Fixed, *, security: bool) -> list[Piece]:
    rows = []
    for half in HALVES:
        role = signers.signer_of(half)
        held = now.revision.signatures.get(half)
        if held is None:
            rows.append([half, f"not signed; to be signed by the {role}", NONE, NONE, NONE])
            continue
        key = now.records.keys[held.key]
        counts = (
            ""
            if key.counts(held.cause.at, seq=held.cause.seq)
            else f"; does not count: key withdrawn from {key.withdrawn} on"
        )
        terms = _terms(held, told=security or half != "security")
        rows.append([half, f"{held.statement['signer']}, {role}{counts}", held.cause.day, held.key, terms])
    head = ("Half", "Signed by", "Day", "Key", "Conditions")
    return [*page_layout.table(head, rows, widths=(1.0, 2.6, 1.2, 2.0, 2.6)), *_statements(now)]


def _terms(held: Signature, *, told: bool) -> str:
    if not held.conditions:
        return "none"
    if not told:
        return f"{len(held.conditions)}, until {held.until}; {WITHHELD}"
    return "\n".join((*held.conditions, f"until {held.until}"))


def _statements(now: Fixed) -> list[Piece]:
    """What the signers state, in their words, and what else their signatures cover."""
    held = [now.revision.signatures[half] for half in HALVES if half in now.revision.signatures]
    if not held:
        return []
    names = ("says", "independence", "competence")
    rows = [[one.half, *(one.statement[name] for name in names), covers(one)] for one in held]
    head = ("Half", "States", "Independence", "Competence", "Covers, beside the revision")
    return page_layout.table(head, rows, widths=(0.9, 2.2, 2.3, 2.0, 2.0))


def _samples(now: Fixed, *, security: bool) -> list[Piece]:
    """Which scoring answers each signer looked at, as far as their statements name them."""
    pieces = []
    for half, held in sorted(now.revision.signatures.items()):
        if held.sample is not None:
            named = ", ".join(f"{question} of {of}" for question, of in held.sample) or "none"
            told = named if security or half != "security" else f"{len(held.sample)}, {WITHHELD}"
            pieces += page_layout.paragraph(
                f"Scoring answers drawn at random for the signer of the {half} half: {told}."
            )
    return pieces


def _to_confirm(now: Fixed, *, security: bool) -> list[Piece]:
    ours = now.of_half("to_confirm", security=False)
    theirs = now.of_half("to_confirm", security=True)
    said = []
    if ours:
        named = ", ".join(f"{one['question']} of {one['of']}" for one in ours)
        said.append(f"After a change these common-cause answers were still to be confirmed: {named}.")
    if theirs:
        named = ", ".join(f"{one['question']} of {one['of']}" for one in theirs)
        said.append(f"Security answers still to be confirmed: {named if security else len(theirs)}.")
    return [piece for one in said for piece in page_layout.paragraph(one)]
