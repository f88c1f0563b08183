"""What asks for attention: systems due or void, evidence and acceptances that end, answers to confirm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from checks.plantfile.plant import Asked
from checks.reassessment import reassessments, schedule
from checks.reassessment.schedule import NOTICE_DAYS, Due
from checks.revision import basis
from checks.signoff import revisions
from checks.state.entries import VOID
from checks.state.evidence import Evidence
from checks.state.live import State
from checks.state.owner_records import Accepted
from checks.visibility import fresh_start


@dataclass(frozen=True, slots=True)
class Standing:
    """Where one system stands: state and why, the last signed revision, when it is due, what waits."""

    system: str
    state: str
    why: str
    signed: int | None
    signed_on: str
    due: date | None
    near: Due | None
    to_confirm: int
    anew: int

    @property
    def urgent(self) -> tuple[int, str]:
        """Sort key: void and overdue first, then by date."""
        rank = {"overdue": 0, "due soon": 2, "in time": 3, None: 4}[self.near]
        return (min(rank, 1) if self.state == VOID else rank, self.due.isoformat() if self.due else "9999")


@dataclass(frozen=True, slots=True)
class Ending:
    """A piece of evidence that ends soon or has ended; ``claim`` where its answer has nothing else that holds."""

    asked: Asked
    evidence: Evidence
    ended: bool
    claim: bool


def standings(now: State) -> list[Standing]:
    """Every system that the reader may look into, the most urgent first."""
    return sorted((_standing(now, key) for key in now.systems), key=lambda one: one.urgent)


def _standing(now: State, system: str) -> Standing:
    state, why = revisions.state_of(now, system)
    signed = now.records.signed(system)
    due = reassessments.due(now, signed) if signed else None
    held = basis.scope(now.plant, now.assessment.links, system).addressees
    return Standing(
        system=system,
        state=state,
        why=why,
        signed=signed.number if signed else None,
        signed_on=max(one.cause.day for one in signed.signatures.values()) if signed else "",
        due=due,
        near=schedule.state(due, now.day) if due else None,
        to_confirm=sum(of in held for _, of in now.records.to_confirm),
        anew=len(fresh_start.to_give(now, system)),
    )


def evidence_ending(now: State, *, days: int = NOTICE_DAYS) -> list[Ending]:
    """Evidence that has ended or ends within some days, the oldest first; not where its answer was given again since."""
    last = (now.day + timedelta(days=days)).isoformat()
    found = [
        Ending(asked, one, one.expired(now.day), claim=now.ended(asked))
        for asked, several in now.records.evidence.items()
        for one in several
        if one.valid_until
        and one.valid_until <= last
        and not (asked in now.stored and one.expired(now.stored[asked].day))
    ]
    return sorted(found, key=lambda one: one.evidence.valid_until)


def acceptances_ending(now: State, *, days: int = NOTICE_DAYS) -> list[tuple[str, Accepted]]:
    """Gaps that are still there and whose acceptance has ended or ends within some days, with their system."""
    last = (now.day + timedelta(days=days)).isoformat()
    there = {(zone, gap.question) for zone in now.zones for gap in now.assessment.zone(zone).gaps}
    found = [
        (system, one)
        for (system, zone, question), one in now.records.accepted.items()
        if one.until <= last and (zone, question) in there
    ]
    return sorted(found, key=lambda pair: pair[1].until)


def until_event(now: State) -> list[tuple[Asked, Evidence]]:
    """Evidence that holds until something happens: to be looked at when it did."""
    return [
        (asked, one)
        for asked, several in sorted(now.records.evidence.items())
        for one in several
        if one.until_event and not one.valid_until
    ]
