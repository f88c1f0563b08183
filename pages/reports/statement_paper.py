"""A signed statement on paper: its prose, its signature, and how to check it."""

from __future__ import annotations

from checks.assessment.cautions import CAUTIONS
from checks.state.revision_status import Signature
from checks.text.canonical import canonical
from pages.presentation.direction import isolated
from pages.reports.layout.page_layout import DocumentInfo, Piece, build_pdf, facts, heading, paragraph, title
from pages.reports.sections.status import statement_prose

CHECK = (
    "The signature is Ed25519 over the signed bytes: the statement as JSON in its canonical form (RFC 8785), handed out beside "
    "this paper. A signature shows who stated this, and that it was not changed; whether it still stands, the record says."
)


def paper(signature: Signature) -> bytes:
    """The statement of a signature as a PDF file."""
    stated = signature.statement
    what = f"{signature.half} half of {stated['system']}, revision {stated['number']}"
    about = DocumentInfo(
        title=f"Signed statement: {what}, {stated['plant']}", date=signature.day, note="", caution=CAUTIONS[0]
    )
    lead = f"{what}, {isolated(stated['plant'])}. Signed by {isolated(stated['signer'])} on {signature.cause.day}."
    return build_pdf(
        about,
        title("Statement of review", lead),
        statement_prose(signature),
        heading("Signature", 2),
        _signature(signature),
    )


def signed_bytes(signature: Signature) -> bytes:
    """The bytes that were signed."""
    return canonical(dict(signature.statement))


def _signature(signature: Signature) -> list[Piece]:
    return [
        *facts(
            [
                ("Key", signature.key),
                ("Signature (Base64)", signature.signature),
                ("Revision, SHA-256", signature.statement["revision"]),
            ]
        ),
        *paragraph(CHECK),
    ]
