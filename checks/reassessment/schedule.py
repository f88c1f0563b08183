"""Due dates of assessments, and which re-assessment is a blind round. Today's date is a parameter."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Literal

from checks.access.roles import Person
from checks.events.plant import interval
from checks.journal.event import Event
from checks.recording import recorder
from checks.state.assessment_interval import LONGEST_MONTHS
from checks.state.live import Live
from checks.text.faults import Fault, Refused
from scoring.limits import OutOfRange

FRESH_EVERY = 3
"""Every third re-assessment starts from blank answers, so that no answer is only confirmed for ever (house rule)."""

NOTICE_DAYS = 60
"""Notice before the due date [days] (house rule): time to collect records and people."""

Due = Literal["overdue", "due soon", "not yet due"]


def starts_blank(number_of_revision_to_come: int) -> bool:
    """Whether the assessment of this number starts without earlier answers.

    The first is number 0. Every third re-assessment (3, 6, ...) is a blind round; at the others earlier answers are
    confirmed. House rule; starting from blank answers now and then is common practice, no source. Raises OutOfRange
    below 0.

    >>> [number for number in range(8) if starts_blank(number)]
    [0, 3, 6]
    """
    if not number_of_revision_to_come >= 0:
        raise OutOfRange("number of the revision", number_of_revision_to_come, "must be 0 or more; the first is 0")
    return number_of_revision_to_come % FRESH_EVERY == 0


def state(due: date, today: date, notice_days: int = NOTICE_DAYS) -> Due:
    """How near the due date is; the due date itself counts as due soon.

    Raises OutOfRange for a notice below 0 days.

    >>> state(date(2025, 3, 31), date(2025, 3, 31)), state(date(2025, 3, 31), date(2025, 4, 1))
    ('due soon', 'overdue')
    """
    if not notice_days >= 0:
        raise OutOfRange("notice [days]", notice_days, "must be 0 or more")
    if today > due:
        return "overdue"
    return "due soon" if due - today <= timedelta(days=notice_days) else "not yet due"


def set_interval(live: Live, person: Person, *, system: str, months: int) -> Event:
    """Set the interval between assessments of a system [months]; raises NotAllowed and Refused."""
    person.require(interval.Body.PERMISSION)
    faults = []
    if type(months) is not int or not 1 <= months <= LONGEST_MONTHS:
        faults.append(Fault("months", f"found {months}", f"allowed: 1 to {LONGEST_MONTHS}, whole months"))
    if system not in live.state().plant.systems:
        faults.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
    if faults:
        raise Refused("interval", faults)
    return recorder.record(live, person, interval.Body(system=system, months=months))
