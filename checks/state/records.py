"""Records of reviews at one version of the journal, and the state of each revision."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from checks.allowed_changes.change import GroupChange
from checks.assessment.editions import scores_as
from checks.events.plant.action import Action
from checks.plantfile.plant import Asked
from checks.state.evidence import Dissent, Evidence, Present, Private
from checks.state.owner_records import Accepted, AllowedChange, Effort, Key
from checks.state.reopened import Change, DataToCheck, Failed
from checks.state.revision_status import FOLLOWED, HALVES, REVIEWED, SENT_BACK, SIGNED, VOID, Cause, Revision, Signature


@dataclass(frozen=True)
class Records:
    """Records of reviews at one version of the journal.

    ``to_confirm`` are answers reopened by a change, ``to_answer_again`` answers hidden in a blind round until re-answered,
    ``confirmed`` answers confirmed since they were given, ``data_to_check`` places of the plant file that a change may have
    made wrong. ``withdrawn`` holds withdrawn evidence, each piece with the number
    of the withdrawal event. ``allowed`` holds each change that was ever allowed. ``linked_names`` are pairs of names of one person. ``actions`` holds each action with its latest event.
    """

    revisions: Mapping[str, tuple[Revision, ...]] = field(default_factory=dict)
    keys: Mapping[str, Key] = field(default_factory=dict)
    evidence: Mapping[Asked, tuple[Evidence, ...]] = field(default_factory=dict)
    withdrawn: Mapping[Asked, tuple[tuple[int, Evidence], ...]] = field(default_factory=dict)
    dissents: Mapping[Asked, tuple[Dissent, ...]] = field(default_factory=dict)
    accepted: Mapping[tuple[str, str, str], Accepted] = field(default_factory=dict)
    attended: Mapping[str, tuple[Present, ...]] = field(default_factory=dict)
    to_confirm: Mapping[Asked, Cause] = field(default_factory=dict)
    to_answer_again: Mapping[Asked, Cause] = field(default_factory=dict)
    confirmed: Mapping[Asked, Cause] = field(default_factory=dict)
    data_to_check: Mapping[str, DataToCheck] = field(default_factory=dict)
    private: Mapping[Asked, tuple[Private, ...]] = field(default_factory=dict)
    intervals: Mapping[str, int] = field(default_factory=dict)
    rounds: Mapping[str, tuple[Cause, ...]] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()
    failures: tuple[Failed, ...] = ()
    actions: Mapping[str, tuple[Action, Cause]] = field(default_factory=dict)
    efforts: Mapping[Asked, Effort] = field(default_factory=dict)
    allowed: Mapping[GroupChange, AllowedChange] = field(default_factory=dict)
    linked_names: tuple[tuple[str, str], ...] = ()

    def stays(self, system: str, zone: str, question: str, value: str, day: date) -> bool:
        """Whether the asset owner accepted the gap with answer ``value``, and the acceptance has not ended."""
        accepted = self.accepted.get((system, zone, question))
        return accepted is not None and accepted.covers(value, day)

    def latest(self, system: str) -> Revision | None:
        """The latest revision of a system; None where it has none."""
        revisions = self.revisions.get(system)
        return revisions[-1] if revisions else None

    def again(self, revision: Revision) -> Revision:
        """The present state of a revision that was read earlier."""
        return next(current for current in self.revisions[revision.system] if current.number == revision.number)

    def signed(self, system: str) -> Revision | None:
        """The latest revision of a system with both halves signed, even if invalidated since; None where there is none."""
        complete = (revision for revision in reversed(self.revisions.get(system, ())) if self.complete(revision))
        return next(complete, None)

    def counting(self, revision: Revision) -> dict[str, Signature]:
        """Signatures of a revision that count, by half: those whose key was not withdrawn from an earlier day on."""
        return {
            half: signed
            for half, signed in revision.signatures.items()
            if signed.key in self.keys and self.keys[signed.key].counts(signed.cause.at, seq=signed.cause.seq)
        }

    def complete(self, revision: Revision) -> bool:
        """Whether both halves have a signature that counts."""
        return len(self.counting(revision)) == len(HALVES)

    def followed(self, revision: Revision) -> bool:
        """Whether both halves were signed and a later revision of its system is complete."""
        later = (other for other in self.revisions[revision.system] if other.number > revision.number)
        return len(revision.signatures) == len(HALVES) and any(map(self.complete, later))

    def state(self, revision: Revision, today: date, banks: Mapping[str, str]) -> tuple[str, str]:
        """State of a revision on a day, and the reason in words; ``banks`` holds the hash of the scoring content of each bank in use."""
        signed = self.complete(revision)
        void = self._invalid_reason(revision, today, banks)
        if self.followed(revision):
            return FOLLOWED, "a later revision was signed"
        if void:
            return VOID, void
        if revision.comments:
            text, cause = revision.comments[-1]
            return SENT_BACK, f"{cause.by or 'somebody'}, {cause.day}: {text}"
        if signed:
            ends = min((signed.until for signed in revision.signatures.values() if signed.until), default="")
            return SIGNED, f"with conditions, until {ends}" if ends else "both halves"
        done = ", ".join(self.counting(revision)) or "neither half"
        return REVIEWED, f"signed so far: {done}"

    def _invalid_reason(self, revision: Revision, today: date, banks: Mapping[str, str]) -> str:
        """Why a revision is invalid, in words; empty where it is valid."""
        if (cause := revision.voided) is not None:
            return f"{cause.what}, {cause.day}, by {cause.by or 'somebody'} (event {cause.seq})"
        if any(scores_as(entry, name) != banks[name] for name, entry in revision.banks.items()):
            return "an edition of a question bank is in use that scores differently"
        counting = self.counting(revision).values()
        ended = [signed.until for signed in counting if signed.until and signed.until < today.isoformat()]
        if ended:
            return f"the conditions of its sign-off ended on {min(ended)}"
        return next(filter(None, map(self._dropped_condition, counting)), "")

    def _dropped_condition(self, signed: Signature) -> str:
        """Why a conditional signature ended: an action of a condition was dropped since; empty where none was."""
        for name in signed.condition_actions:
            if name in self.actions and self.actions[name][0].state == "dropped":
                cause = self.actions[name][1]
                if cause.seq > signed.cause.seq:
                    return (
                        f"a condition of the {signed.half} half ended: its action {name} was dropped on {cause.day} "
                        f"by {cause.by or 'somebody'}"
                    )
        return ""
