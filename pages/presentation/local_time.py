"""Times of the journal, which are UTC, as the clock on the wall shows them."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo


def local(at: str, zone: str | None) -> tuple[str, str]:
    """Day and time of a moment in a time zone such as ``Europe/Berlin``; UTC where the zone is not known.

    >>> local("2025-03-04T23:05:06.789+00:00", "Europe/Berlin")
    ('2025-03-05', '00:05:06 CET')
    >>> local("2025-03-04T23:05:06+00:00", None)
    ('2025-03-04', '23:05:06 UTC')
    """
    moment = datetime.fromisoformat(at).astimezone(_known(zone))
    name = moment.tzname() or "UTC"
    return moment.date().isoformat(), f"{moment:%H:%M:%S} {name if name.isalpha() else f'UTC{name}'}"


def _known(zone: str | None) -> tzinfo:
    try:
        return ZoneInfo(zone) if zone else UTC
    except (KeyError, ValueError):  # a browser may name a zone that this machine does not have
        return UTC
