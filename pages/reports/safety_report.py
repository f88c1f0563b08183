"""The safety report: one revision of one system told in full, without the detail of its security gaps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from checks.assessment.cautions import CAUTIONS
from checks.record_files.record_file import Record
from pages.reports.layout.page_layout import DocumentInfo, Piece, build_pdf, heading, paragraph, title
from pages.reports.sections import answers, comparison, inputs, method, results, scope, status, trend
from pages.reports.sections.open_actions import actions_of_half
from pages.reports.sections.participants import participants_section
from pages.reports.sections.reported_revision import ReportedRevision, reported_revision

JOB = (
    "This report says what the redundant channels of this safety system share, what that leaves of the risk reduction for "
    "which the redundancy was bought, who found it, and on what evidence. It holds everything that the figures rest on except "
    "the answers about security: those, the gaps and what would close them stand in the security annex, a document of its "
    "own for those who need it."
)


def report(record: Record, *, day: date) -> bytes:
    """The safety report of a verified record as PDF, printed on ``day``.

    The figures are the stored ones. What is not stored, such as curves, is computed only where this program computes the
    stored figures too.
    """
    reported = reported_revision(record)
    number, system = reported.revision.number, reported.scope.system
    on = DocumentInfo(
        title=f"Safety report: {system}, revision {number}, {reported.plant.plant.name}",
        date=day,
        note=reported.plant.plant.note,
        caution=CAUTIONS[0],
    )
    lead = f"Safety report of {reported.system}, {reported.plant.plant.name}. Revision {number}, fixed {reported.revision.cause.day}; printed {day}."
    return build_pdf(
        on, title("What shared causes leave of the redundancy", lead), paragraph(JOB), *_sections(reported, day)
    )


def _sections(reported: ReportedRevision, day: date) -> Iterator[list[Piece]]:
    for name, pieces in (
        ("Where this revision stands", status.signing_status(reported, day, security=False)),
        ("Scope", scope.scope(reported)),
        ("Who took part", participants_section(reported)),
        ("Method and conventions", method.conventions(reported)),
        ("Results", results.summary(reported)),
        (
            "Function by function",
            [piece for function in reported.functions for piece in results.function(reported, function)],
        ),
        ("Betas of the groups", results.betas(reported)),
        ("Security in counts", scope.zones_in_counts(reported, day)),
        ("Answers with evidence", answers.common_cause(reported)),
        ("Dissents", answers.dissents(reported, security=False)),
        ("Actions under way", actions_of_half(reported, day, security=False)),
        ("Compared with the last signed revision", comparison.functions(reported)),
        ("Over the revisions", trend.functions(reported)),
        ("Inputs in full", inputs.inputs(reported)),
        ("How to verify this record", method.verification(reported)),
        ("Cautions", method.cautions()),
        ("Sources", method.sources()),
    ):
        if pieces:
            yield [*heading(name), *pieces]
