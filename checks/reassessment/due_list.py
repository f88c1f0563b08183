"""The due list: systems that are due or invalidated, evidence and acceptances that end, answers to confirm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from checks.plantfile.plant import Asked
from checks.reassessment import schedule
from checks.reassessment.schedule import NOTICE_DAYS, Due
from checks.revision import basis
from checks.signoff import revisions
from checks.state.evidence import Evidence
from checks.state.live import State
from checks.state.owner_records import Accepted
from checks.state.revision_status import VOID
from checks.state.standing import next_due
from checks.visibility import blind_round


@dataclass(frozen=True, slots=True)
class DueSystem:
    """Status of one system: standing and reason, last signed revision, due date, answers to confirm or give again.

    ``near`` is None without a due date, and for a void system: it is not in time, whatever its due date.
    """

    system: str
    state: str
    words: str
    why: str
    signed: int | None
    signed_on: str
    due: date | None
    near: Due | None
    to_confirm: int
    to_answer_again: int

    @property
    def asks(self) -> bool:
        """Whether somebody has to do something now: it is due, void, or has answers to confirm or to give again."""
        return (
            self.state == VOID or self.near in ("overdue", "due soon") or bool(self.to_confirm or self.to_answer_again)
        )

    @property
    def urgent(self) -> tuple[int, str]:
        """Sort key: overdue first, then invalidated, then by due date."""
        rank = {"overdue": 0, "due soon": 2, "not yet due": 3, None: 4}[self.near]
        return (min(rank, 1) if self.state == VOID else rank, self.due.isoformat() if self.due else "9999")


@dataclass(frozen=True, slots=True)
class Ending:
    """A piece of evidence that ends soon or has expired; ``claim`` if its answer has no other valid evidence."""

    asked: Asked
    evidence: Evidence
    ended: bool
    claim: bool


def standings(state: State) -> list[DueSystem]:
    """Status of every system that the reader may see, the most urgent first."""
    return sorted((_standing(state, key) for key in state.systems), key=lambda standing: standing.urgent)


def _standing(current: State, system: str) -> DueSystem:
    standing = revisions.system_standing(current, system)
    signed = current.records.signed(system)
    due = next_due(current.records, signed) if signed else None
    addressees = basis.scope(current.plant, current.assessment.links, system).addressees
    return DueSystem(
        system=system,
        state=standing.state,
        words=standing.words,
        why=standing.why,
        signed=signed.number if signed else None,
        signed_on=max(signature.cause.day for signature in signed.signatures.values()) if signed else "",
        due=due,
        near=schedule.state(due, current.day) if due and not standing.void else None,
        to_confirm=sum(of in addressees for _, of in current.records.to_confirm),
        to_answer_again=len(blind_round.questions_to_answer(current, system)),
    )


def evidence_ending(state: State, *, days: int = NOTICE_DAYS) -> list[Ending]:
    """Evidence that has expired or ends within ``days``, earliest end first; left out if its answer was given again since."""
    last = (state.day + timedelta(days=days)).isoformat()
    endings = [
        Ending(asked, piece, piece.expired(state.day), claim=state.ended(asked))
        for asked, pieces in state.records.evidence.items()
        for piece in pieces
        if piece.valid_until
        and piece.valid_until <= last
        and not (asked in state.stored and piece.expired(state.stored[asked].day))
    ]
    return sorted(endings, key=lambda ending: ending.evidence.valid_until)


def acceptances_ending(state: State, *, days: int = NOTICE_DAYS) -> list[tuple[str, Accepted]]:
    """Acceptances of open gaps that have ended or end within ``days``, each with its system."""
    last = (state.day + timedelta(days=days)).isoformat()
    open_gaps = {(zone, gap.question) for zone in state.zones for gap in state.assessment.zone(zone).gaps}
    endings = [
        (system, acceptance)
        for (system, zone, question), acceptance in state.records.accepted.items()
        if acceptance.until <= last and (zone, question) in open_gaps
    ]
    return sorted(endings, key=lambda pair: pair[1].until)


def until_event(state: State) -> list[tuple[Asked, Evidence]]:
    """Evidence that is valid until an event: check it when the event happens."""
    return [
        (asked, piece)
        for asked, pieces in sorted(state.records.evidence.items())
        for piece in pieces
        if piece.until_event and not piece.valid_until
    ]
