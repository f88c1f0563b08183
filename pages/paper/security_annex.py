"""The security annex: zones, levels, gaps, reach and actions of one revision, for one named reader."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from checks.cautions import CAUTIONS
from checks.record.record_file import Record
from pages.paper import asked, compared, exposed, method, revisions, standing, zones
from pages.paper.fixed import Fixed, fixed
from pages.paper.sheet import Piece, Sheet, heading, paragraph, printed, title
from pages.paper.under_way import under_way

MARKING = "Security annex: restricted"
JOB = (
    "This annex tells where the security zones of this safety system fall short, what one compromise of a zone would reach, and "
    "what closes each gap. It tells an intruder where to go: it is for the reader who is named on every page, is not copied or "
    "passed on, and is destroyed when it is no longer needed."
)


def annex(record: Record, *, reader: str, day: date) -> bytes:
    """The security annex of a verified record as PDF, marked with its reader and the day on every page."""
    now = fixed(record)
    number, system = now.revision.number, now.scope.system
    on = Sheet(
        title=f"Security annex: {system}, revision {number}, {now.plant.plant.name}",
        date=day,
        note=now.plant.plant.note,
        marking=MARKING,
        caution=CAUTIONS[0],
        reader=reader,
    )
    lead = f"Security annex of {now.system}, {now.plant.plant.name}. Revision {number}, fixed {now.revision.cause.day}. For {reader}, {day}."
    return printed(on, title("What one compromise would reach", lead), paragraph(JOB), *_sections(now, day))


def _sections(now: Fixed, day: date) -> Iterator[list[Piece]]:
    for name, pieces in (
        ("Where this revision stands", standing.stands(now, day, security=True)),
        ("Zones and conduits", zones.overview(now)),
        *((f"Zone {zones.called(now, one)}", zones.zone(now, one, day)) for one in now.zones),
        ("Exposure, and what it does to beta", exposed.exposure_of_groups(now)),
        ("If a zone is compromised", exposed.compromised(now)),
        ("Security answers with evidence", asked.security(now)),
        ("Dissents", asked.dissents(now, security=True)),
        ("Actions under way", under_way(now, day, security=True)),
        ("Compared with the last signed revision", compared.zones(now)),
        ("Gaps over the revisions", revisions.zones(now)),
        ("How to verify this record", method.verification(now)),
        ("Cautions", method.cautions()),
        ("Sources", method.sources()),
    ):
        if pieces:
            yield [*heading(name), *pieces]
