"""What is calculated when the report is printed, and is no part of a revision."""

from __future__ import annotations

from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision

CALCULATED = (
    "Calculated by this program when printed. It is not stored in the revision and not part of what was signed."
)
NOT_CALCULATED = (
    "Not calculated: this program does not reproduce the stored figures of this revision, so it adds none to them."
)


def introduction(reported: ReportedRevision) -> list[Piece]:
    """What kind of figures follow, or why none do."""
    return page_layout.lead(CALCULATED if reported.assessment.reproduced else NOT_CALCULATED)
