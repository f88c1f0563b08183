"""The prose of a signed statement, as the reports and the signer's paper print it."""

from __future__ import annotations

from checks.state.revision_status import Signature
from pages.reports.layout.page_layout import Piece, paragraph


def prose(signature: Signature) -> list[Piece]:
    """The paragraphs of a statement; none for one of an earlier release, which has no text."""
    return [piece for text in signature.text.split("\n\n") if text for piece in paragraph(text)]
