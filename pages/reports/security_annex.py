"""The security annex: zones, levels, gaps, reach and actions of one revision, for one named reader."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from checks.assessment.cautions import CAUTIONS
from checks.record_files.record_file import Record
from pages.presentation.direction import isolated
from pages.reports.layout.page_layout import DocumentInfo, Piece, build_pdf, heading, paragraph, title
from pages.reports.sections import answers, comparison, method, status, trend
from pages.reports.sections.changes_and_failures import changes_and_failures
from pages.reports.sections.open_actions import actions_of_half
from pages.reports.sections.reported_revision import ReportedRevision, reported_revision
from pages.reports.security_sections import exposure, reach, zones

MARKING = "Security annex: restricted"
JOB = (
    "This annex states where the security zones of this safety system fall short, which functions the compromise of a zone "
    "reaches, and what closes each gap. It would help an attacker: it is only for the reader named on every page, must not be "
    "copied or passed on, and must be destroyed when it is no longer needed."
)


def annex(record: Record, *, reader: str, day: date) -> bytes:
    """The security annex of a verified record as a PDF file; every page names ``reader`` and ``day``."""
    reported = reported_revision(record)
    number, system, standing = reported.revision.number, reported.scope.system, reported.standing(day)
    on = DocumentInfo(
        title=f"Security annex: {system}, revision {number}, {reported.plant.plant.name}",
        date=day,
        note=reported.plant.plant.note,
        marking=MARKING,
        caution=CAUTIONS[0],
        standing=f"{standing.words}, {day}",
        void=standing.void,
        reader=reader,
    )
    lead = f"Security annex of {reported.system}, {isolated(reported.plant.plant.name)}. Revision {number}, fixed {reported.revision.cause.day}. For {reader}, {day}."
    return build_pdf(
        on, title("What the compromise of one zone reaches", lead), paragraph(JOB), *_sections(reported, day)
    )


def _sections(reported: ReportedRevision, day: date) -> Iterator[list[Piece]]:
    for name, pieces in (
        ("Status", status.signing_status(reported, day, security=True)),
        ("Zones and conduits", zones.overview(reported)),
        *(
            (f"Zone {zones.zone_title(reported, zone)}", zones.zone_section(reported, zone, day))
            for zone in reported.zones
        ),
        ("Exposure and its effect on beta", exposure.exposure_of_groups(reported)),
        ("If a zone is compromised", exposure.compromised(reported)),
        ("Reach of a compromise", reach.reach(reported)),
        ("Security answers with evidence", answers.security(reported)),
        ("Dissents", answers.dissents(reported, security=True)),
        ("Open actions", actions_of_half(reported, day, security=True)),
        ("Changes and failures", changes_and_failures(reported, security=True)),
        ("Compared with the last signed revision", comparison.zones(reported)),
        ("Gap trend over the revisions", trend.zones(reported)),
        ("How to verify this record", method.verification(reported)),
        ("Cautions", method.cautions()),
        ("Sources", method.sources()),
    ):
        if pieces:
            yield [*heading(name), *pieces]
