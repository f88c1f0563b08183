"""The safety report: one revision of one system in full, without the details of its security gaps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from checks.assessment.cautions import CAUTIONS
from checks.record_files.record_file import Record
from pages.presentation.direction import isolated
from pages.reports.design_sections import architecture, second_opinions, spurious_trips, uncertainty
from pages.reports.layout.page_layout import DocumentInfo, Piece, build_pdf, heading, paragraph, title
from pages.reports.sections import (
    answers,
    comparison,
    inputs,
    method,
    results,
    scope,
    status,
    trend,
    worked_groups,
)
from pages.reports.sections.changes_and_failures import changes_and_failures, own_failures_as_evidence
from pages.reports.sections.open_actions import actions_of_half
from pages.reports.sections.participants import participants_section
from pages.reports.sections.reported_revision import ReportedRevision, reported_revision

JOB = (
    "This report states what the redundant channels of this safety system have in common, how much of the risk reduction "
    "from redundancy remains, who assessed it, and on what evidence. Each redundant group can be "
    "recalculated from it by hand; exposure is given as one number. The security answers behind that number, the gaps and the "
    "measures that close them are in the security annex, a separate document for readers who need it."
)


def report(record: Record, *, day: date) -> bytes:
    """The safety report of a verified record as a PDF file, printed on ``day``.

    The figures are the stored ones. Curves and other results that are not stored are computed only if this program
    reproduces the stored figures.
    """
    reported = reported_revision(record)
    number, system, standing = reported.revision.number, reported.scope.system, reported.standing(day)
    on = DocumentInfo(
        title=f"Safety report: {system}, revision {number}, {reported.plant.plant.name}",
        date=day,
        note=reported.plant.plant.note,
        caution=CAUTIONS[0],
        standing=f"{standing.words}, {day}",
        void=standing.void,
    )
    lead = f"Safety report of {reported.system}, {isolated(reported.plant.plant.name)}. Revision {number}, fixed {reported.revision.cause.day}; printed {day}."
    return build_pdf(on, title("Redundancy left after common cause", lead), paragraph(JOB), *_sections(reported, day))


def _sections(reported: ReportedRevision, day: date) -> Iterator[list[Piece]]:
    for name, pieces in (
        ("Status", status.signing_status(reported, day, security=False)),
        ("Scope", scope.scope(reported)),
        ("Participants", participants_section(reported)),
        ("Method and conventions", method.conventions(reported)),
        ("Results", results.summary(reported)),
        (
            "Function by function",
            [piece for function in reported.functions for piece in results.function_section(reported, function)],
        ),
        ("Uncertainty of each function", uncertainty.bands(reported)),
        ("Beta of each group", results.betas(reported)),
        ("Second opinions", second_opinions.second_opinions(reported)),
        ("Each group by hand", worked_groups.worked_groups(reported)),
        ("Spurious trips", spurious_trips.functions(reported)),
        ("Architecture", architecture.functions(reported)),
        ("Security summary", scope.security_summary(reported, day)),
        ("Answers with evidence", answers.common_cause(reported)),
        ("Dissents", answers.dissents(reported, security=False)),
        ("Open actions", actions_of_half(reported, day, security=False)),
        ("Changes and failures", changes_and_failures(reported, security=False)),
        ("Own failures as evidence", own_failures_as_evidence(reported, day)),
        ("Compared with the last signed revision", comparison.functions(reported)),
        ("Trend over the revisions", trend.functions(reported)),
        ("Inputs in full", inputs.inputs(reported)),
        ("How to verify this record", method.verification(reported)),
        ("Cautions", method.cautions()),
        ("Sources", method.sources()),
    ):
        if pieces:
            yield [*heading(name), *pieces]
