"""Status of a revision on the day of printing: hash, signatures, and answers still to be confirmed."""

from __future__ import annotations

from datetime import date

from checks.events.plant import change
from checks.signoff import review_comments, signers
from checks.state import late_entries
from checks.state.revision_status import HALVES, SENT_BACK, VOID, Comment, Signature
from checks.text.number_format import NONE
from pages.presentation.direction import isolated
from pages.presentation.wording import covers
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, of_security, of_security_change

IN_ANNEX = "listed in the security annex"


def signing_status(reported: ReportedRevision, day: date, *, security: bool) -> list[Piece]:
    """The revision, its state on ``day``, and its signatures; ``security`` adds the details of the security half."""
    revision, made_from = reported.revision, reported.record.made_from
    standing = reported.standing(day)
    state, why = standing.state, standing.why
    pieces = [
        *page_layout.lead(
            f"On {day} revision {revision.number} of {revision.system} is {standing.words}: {_reason(reported, state, why, security=security)}."
        ),
        *page_layout.facts(
            [
                ("Revision", f"{revision.number} of {reported.system}"),
                (
                    "Fixed",
                    f"{revision.cause.day} (UTC) by {isolated(revision.cause.by) or 'an unnamed person'}, event {revision.cause.seq}",
                ),
                ("SHA-256", revision.hash),
                ("Made from", f"the audit trail up to event {made_from.seq}, hash\n{made_from.hash}"),
            ]
        ),
        *_signatures(reported, security=security),
        *_samples(reported, security=security),
        *_prose(reported, security=security),
        *_comments(reported, security=security),
    ]
    return pieces + _late_entries(reported) + _to_confirm(reported, security=security)


def _reason(reported: ReportedRevision, state: str, why: str, *, security: bool) -> str:
    """Reason for the state, without naming a gap to readers of the safety report."""
    if security:
        return why
    if state == SENT_BACK and (sent := reported.revision.comments[-1][1]).what.endswith("security half"):
        return f"by {isolated(sent.by) or 'an unnamed person'}, {sent.day}; the comments are {IN_ANNEX}"
    cause = reported.revision.voided
    event = reported.event(cause.seq) if state == VOID and cause else None
    if cause and event and event.kind == change.Body.KIND and of_security_change(change.Body.read(event)):
        return f"a change of the security half, {IN_ANNEX}, {cause.day} (event {cause.seq})"
    if cause and event and of_security(event.content.get("question", "")):
        return f"a security answer or its evidence changed, {cause.day} (event {cause.seq})"
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
            else f"; not valid: key withdrawn from {key.withdrawn}"
        )
        terms = _conditions(signature, shown=security or half != "security")
        rows.append(
            [
                half,
                f"{isolated(signature.statement['signer'])}, {role}{counts}",
                signature.cause.day,
                signature.key,
                terms,
            ]
        )
    head = ("Half", "Signed by", "Day", "Key", "Conditions")
    return [*page_layout.table(head, rows, widths=(1.0, 2.6, 1.2, 2.0, 2.6)), *_statements(reported)]


def _conditions(signature: Signature, *, shown: bool) -> str:
    if not signature.conditions:
        return "none"
    if not shown:
        return f"{len(signature.conditions)}, until {signature.until}; {IN_ANNEX}"
    return "\n".join((*signature.conditions, f"until {signature.until}"))


def _statements(reported: ReportedRevision) -> list[Piece]:
    """Statements of the signers as typed, and what else their signatures cover."""
    signatures = [reported.revision.signatures[half] for half in HALVES if half in reported.revision.signatures]
    if not signatures:
        return []
    names = ("says", "independence", "competence")
    rows = [
        [signature.half, *(signature.statement[name] for name in names), covers(signature)] for signature in signatures
    ]
    head = ("Half", "States", "Independence", "Competence", "Also covers")
    return page_layout.table(head, rows, widths=(0.9, 2.2, 2.3, 2.0, 2.0))


def _prose(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """The signed statements in full; that of the security half only in the annex, since it names gaps."""
    pieces: list[Piece] = []
    for half in HALVES:
        signature = reported.revision.signatures.get(half)
        if signature is None or not signature.text:
            continue
        pieces += page_layout.heading(f"Signed statement of the {half} half", 2)
        if security or half != "security":
            pieces += statement_prose(signature)
        else:
            pieces += page_layout.paragraph(f"It names gaps and is {IN_ANNEX}.")
    return pieces


def _comments(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """Comments of the review with their replies; those on the security half only in the annex, since they name gaps."""
    threads = review_comments.in_threads(reported.revision.thread)
    if not threads:
        return []
    shown = [comment for _, comment in threads if security or comment.half != "security"]
    pieces = page_layout.heading("Comments of the review", 2)
    if shown:
        head = ("Event", "Half", "By", "Day", "Comment")
        pieces += page_layout.table(
            head, [_comment_row(comment) for comment in shown], widths=(0.7, 1.0, 1.6, 1.2, 5.0)
        )
    if hidden := len(threads) - len(shown):
        pieces += page_layout.paragraph(f"Comments on the security half and replies to them: {hidden}, {IN_ANNEX}.")
    return pieces


def _comment_row(comment: Comment) -> list[str]:
    kind = f"reply to event {comment.reply_to}" if comment.reply_to else "sent back" if comment.sends_back else ""
    by = isolated(comment.cause.by) or "an unnamed person"
    return [
        str(comment.cause.seq),
        comment.half,
        by,
        comment.cause.day,
        f"{kind}: {isolated(comment.text)}" if kind else comment.text,
    ]


def _late_entries(reported: ReportedRevision) -> list[Piece]:
    """Entries of the record that look backdated."""
    events = reported.record.events
    flags = [*late_entries.after_signature(events, reported.scope.system), *late_entries.backwards(events)]
    return page_layout.items(flags)


def _samples(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """Scoring answers sampled for each signer, where the statement names them."""
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
    common_cause = reported.of_half("to_confirm", security=False)
    security_entries = reported.of_half("to_confirm", security=True)
    sentences = []
    if common_cause:
        named = ", ".join(f"{entry['question']} of {entry['of']}" for entry in common_cause)
        sentences.append(f"After a change these common-cause answers were still to be confirmed: {named}.")
    if security_entries:
        named = ", ".join(f"{entry['question']} of {entry['of']}" for entry in security_entries)
        sentences.append(f"Security answers still to be confirmed: {named if security else len(security_entries)}.")
    return [piece for sentence in sentences for piece in page_layout.paragraph(sentence)]


def statement_prose(signature: Signature) -> list[Piece]:
    """The paragraphs of a signed statement; none for one of an earlier release, which has no text."""
    return [piece for text in signature.text.split("\n\n") if text for piece in page_layout.paragraph(text)]
