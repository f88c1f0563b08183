"""Everything that the journal says of reviews at one version of it, and where each revision stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from checks.assessment.editions import scores_as
from checks.events.plant.action import Action
from checks.plantfile.plant import Asked
from checks.state.entries import FOLLOWED, HALVES, REVIEWED, SENT_BACK, SIGNED, VOID, Cause, Revision, Signature
from checks.state.evidence import Dissent, Evidence, Present, Private
from checks.state.owner_records import Accepted, Key
from checks.state.reopened import Change, Failed


@dataclass(frozen=True)
class Records:
    """Everything about reviews that holds at a version of the journal.

    ``to_confirm`` are answers that a change reopened, ``anew`` those that a fresh start hides until answered;
    ``confirmed`` those that somebody confirmed since they were given. ``withdrawn`` holds evidence that was withdrawn,
    each piece with the number of the event that did it. ``actions`` hold each action as it is, and the event that made it so.
    """

    revisions: Mapping[str, tuple[Revision, ...]] = field(default_factory=dict)
    keys: Mapping[str, Key] = field(default_factory=dict)
    evidence: Mapping[Asked, tuple[Evidence, ...]] = field(default_factory=dict)
    withdrawn: Mapping[Asked, tuple[tuple[int, Evidence], ...]] = field(default_factory=dict)
    dissents: Mapping[Asked, tuple[Dissent, ...]] = field(default_factory=dict)
    accepted: Mapping[tuple[str, str, str], Accepted] = field(default_factory=dict)
    attended: Mapping[str, tuple[Present, ...]] = field(default_factory=dict)
    to_confirm: Mapping[Asked, Cause] = field(default_factory=dict)
    anew: Mapping[Asked, Cause] = field(default_factory=dict)
    confirmed: Mapping[Asked, Cause] = field(default_factory=dict)
    private: Mapping[Asked, tuple[Private, ...]] = field(default_factory=dict)
    intervals: Mapping[str, int] = field(default_factory=dict)
    rounds: Mapping[str, tuple[Cause, ...]] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()
    failures: tuple[Failed, ...] = ()
    actions: Mapping[str, tuple[Action, Cause]] = field(default_factory=dict)

    def stays(self, system: str, zone: str, question: str, value: str, day: date) -> bool:
        """Whether the owner accepted a gap that is answered so, and the acceptance has not ended."""
        one = self.accepted.get((system, zone, question))
        return one is not None and one.covers(value, day)

    def latest(self, system: str) -> Revision | None:
        """The latest revision of a system."""
        held = self.revisions.get(system)
        return held[-1] if held else None

    def again(self, revision: Revision) -> Revision:
        """A revision that somebody has looked at before, as it is now."""
        return next(one for one in self.revisions[revision.system] if one.number == revision.number)

    def signed(self, system: str) -> Revision | None:
        """The latest revision of a system that both halves have signed, whatever came of it."""
        held = (one for one in reversed(self.revisions.get(system, ())) if self.complete(one))
        return next(held, None)

    def counting(self, revision: Revision) -> dict[str, Signature]:
        """Signatures of a revision that count: those whose key was not withdrawn from an earlier day on."""
        return {
            half: one
            for half, one in revision.signatures.items()
            if one.key in self.keys and self.keys[one.key].counts(one.cause.at, seq=one.cause.seq)
        }

    def complete(self, revision: Revision) -> bool:
        """Whether both halves are signed. A signature whose key was withdrawn from an earlier day on does not count."""
        return len(self.counting(revision)) == len(HALVES)

    def followed(self, revision: Revision) -> bool:
        """Whether both halves signed it, and a later revision of its system is complete."""
        later = (one for one in self.revisions[revision.system] if one.number > revision.number)
        return len(revision.signatures) == len(HALVES) and any(map(self.complete, later))

    def state(self, revision: Revision, today: date, banks: Mapping[str, str]) -> tuple[str, str]:
        """State of a revision on a day, and in words why; ``banks`` holds the hash of what scores in each bank in use."""
        signed = self.complete(revision)
        void = self._void(revision, today, banks)
        if self.followed(revision):
            return FOLLOWED, "superseded by a signed revision"
        if void:
            return VOID, void
        if revision.comments:
            text, cause = revision.comments[-1]
            return SENT_BACK, f"{cause.by or 'somebody'}, {cause.day}: {text}"
        if signed:
            ends = min((one.until for one in revision.signatures.values() if one.until), default="")
            return SIGNED, f"with conditions, until {ends}" if ends else "both halves"
        done = ", ".join(self.counting(revision)) or "neither half"
        return REVIEWED, f"signed so far: {done}"

    def _void(self, revision: Revision, today: date, banks: Mapping[str, str]) -> str:
        """Why a revision no longer stands; empty where it does."""
        if (cause := revision.voided) is not None:
            return f"{cause.what}, {cause.day}, by {cause.by or 'somebody'} (event {cause.seq})"
        if any(scores_as(entry, name) != banks[name] for name, entry in revision.banks.items()):
            return "an edition of a question bank is in use that scores differently"
        counting = self.counting(revision).values()
        ended = [one.until for one in counting if one.until and one.until < today.isoformat()]
        return f"the conditions of its sign-off ended on {min(ended)}" if ended else ""
