"""Where a revision stands on the day of printing: its hash, its signatures, and what was still to confirm."""

from __future__ import annotations

from datetime import date

from checks.signoff import signers
from checks.state.entries import HALVES, SENT_BACK, VOID, Signature
from checks.text.number_format import NONE
from pages.presentation.wording import covers
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, of_security

IN_ANNEX = "told in the security annex"


def signing_status(reported: ReportedRevision, day: date, *, security: bool) -> list[Piece]:
    """The revision, its state on a day, and its signatures; ``security``: with what the security half alone may read."""
    revision = reported.revision
    state, why = reported.records.state(revision, day, reported.assessment.editions.bank_scores)
    pieces = [
        *page_layout.lead(
            f"On {day} revision {revision.number} of {revision.system} is {state}: {_why(reported, state, why, security=security)}."
        ),
        *page_layout.facts(
            [
                ("Revision", f"{revision.number} of {reported.system}"),
                (
                    "Fixed",
                    f"{revision.cause.day} (UTC) by {revision.cause.by or 'somebody who gave no name'}, event {revision.cause.seq}",
                ),
                ("SHA-256", revision.hash),
            ]
        ),
        *_signatures(reported, security=security),
        *_samples(reported, security=security),
    ]
    return pieces + _to_confirm(reported, security=security)


def _why(reported: ReportedRevision, state: str, why: str, *, security: bool) -> str:
    """Why a revision stands so, without words that name a gap to those who may not read them."""
    if security:
        return why
    if state == SENT_BACK and (sent := reported.revision.comments[-1][1]).what.endswith("security half"):
        return f"by {sent.by or 'somebody'}, {sent.day}; the comments are {IN_ANNEX}"
    cause = reported.revision.voided
    event = reported.event(cause.seq) if state == VOID and cause else None
    if cause and event and of_security(event.content.get("question", "")):
        return f"an answer of the security half changed, or what stands beside it, {cause.day} (event {cause.seq})"
    return why


def _signatures(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    rows = []
    for half in HALVES:
        role = signers.signer_of(half)
        signature = reported.revision.signatures.get(half)
        if signature is None:
            rows.append([half, f"not signed; to be signed by the {role}", NONE, NONE, NONE])
            continue
        key = reported.records.keys[signature.key]
        counts = (
            ""
            if key.counts(signature.cause.at, seq=signature.cause.seq)
            else f"; does not count: key withdrawn from {key.withdrawn} on"
        )
        terms = _terms(signature, shown=security or half != "security")
        rows.append(
            [half, f"{signature.statement['signer']}, {role}{counts}", signature.cause.day, signature.key, terms]
        )
    head = ("Half", "Signed by", "Day", "Key", "Conditions")
    return [*page_layout.table(head, rows, widths=(1.0, 2.6, 1.2, 2.0, 2.6)), *_statements(reported)]


def _terms(signature: Signature, *, shown: bool) -> str:
    if not signature.conditions:
        return "none"
    if not shown:
        return f"{len(signature.conditions)}, until {signature.until}; {IN_ANNEX}"
    return "\n".join((*signature.conditions, f"until {signature.until}"))


def _statements(reported: ReportedRevision) -> list[Piece]:
    """What the signers state, in their words, and what else their signatures cover."""
    signatures = [reported.revision.signatures[half] for half in HALVES if half in reported.revision.signatures]
    if not signatures:
        return []
    names = ("says", "independence", "competence")
    rows = [
        [signature.half, *(signature.statement[name] for name in names), covers(signature)] for signature in signatures
    ]
    head = ("Half", "States", "Independence", "Competence", "Covers, beside the revision")
    return page_layout.table(head, rows, widths=(0.9, 2.2, 2.3, 2.0, 2.0))


def _samples(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """Which scoring answers each signer looked at, as far as their statements name them."""
    pieces = []
    for half, signature in sorted(reported.revision.signatures.items()):
        if signature.sample is not None:
            named = ", ".join(f"{question} of {of}" for question, of in signature.sample) or "none"
            sample = named if security or half != "security" else f"{len(signature.sample)}, {IN_ANNEX}"
            pieces += page_layout.paragraph(
                f"Scoring answers drawn at random for the signer of the {half} half: {sample}."
            )
    return pieces


def _to_confirm(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    ours = reported.of_half("to_confirm", security=False)
    theirs = reported.of_half("to_confirm", security=True)
    sentences = []
    if ours:
        named = ", ".join(f"{entry['question']} of {entry['of']}" for entry in ours)
        sentences.append(f"After a change these common-cause answers were still to be confirmed: {named}.")
    if theirs:
        named = ", ".join(f"{entry['question']} of {entry['of']}" for entry in theirs)
        sentences.append(f"Security answers still to be confirmed: {named if security else len(theirs)}.")
    return [piece for sentence in sentences for piece in page_layout.paragraph(sentence)]
