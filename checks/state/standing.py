"""The standing of a revision on a day: one answer in the same words for screens, papers and the command line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from checks.state import assessment_interval
from checks.state.records import Records
from checks.state.revision_status import SIGNED, VOID, Revision

OVERDUE = "overdue"


@dataclass(frozen=True, slots=True)
class Standing:
    """``state`` is that of the revision (see ``revision_status``), ``words`` the standing, ``why`` the reason.

    The words of a signed revision are void, overdue, conditional until a day, or signed, in this order.
    """

    state: str
    words: str
    why: str

    @property
    def void(self) -> bool:
        """Whether nothing that was signed holds any more."""
        return self.state == VOID


def of_revision(records: Records, revision: Revision, today: date, banks: Mapping[str, str]) -> Standing:
    """The standing of a revision; ``banks`` holds the hash of the scoring content of each bank in use."""
    state, why = records.state(revision, today, banks)
    if state != SIGNED:
        return Standing(state, state, why)
    due = next_due(records, revision)
    if today > due:
        return Standing(state, OVERDUE, f"the next assessment was due on {due}")
    ends = min((signed.until for signed in records.counting(revision).values() if signed.until), default="")
    return Standing(state, f"conditional until {ends}" if ends else SIGNED, why)


def next_due(records: Records, revision: Revision) -> date:
    """The day on which the next assessment of a signed revision's system is due."""
    months = records.intervals.get(revision.system, assessment_interval.USUAL_MONTHS)
    signed = max(signature.cause.day for signature in revision.signatures.values())
    return assessment_interval.due(date.fromisoformat(signed), months)
