"""Which event invalidated a revision, and which of them still does after an entry was taken back."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import takewhile

from checks.state.revision_status import Cause, Revision

MOST_KEPT = 10_000
"""Recent events kept: to find those between the reading of a revision's facts and its event, and those behind one taken back."""


@dataclass(frozen=True, slots=True)
class Invalidation:
    """An event that invalidates revisions: its cause and the systems it concerns.

    ``since`` is set where it takes an earlier entry back: only revisions that rest on that entry are touched.
    """

    cause: Cause
    concerns: Callable[[str], bool]
    since: int = 0

    def hits(self, system: str, revision: int) -> bool:
        """Whether it invalidates a revision of a system; ``revision`` is the number of its event."""
        return revision > self.since and self.concerns(system)


class Invalidations:
    """Invalidates the latest revision of each system concerned, in the mapping of revisions it is given."""

    def __init__(self, revisions: dict[str, tuple[Revision, ...]]) -> None:
        self._revisions = revisions
        self._recent: deque[Invalidation] = deque(maxlen=MOST_KEPT)

    def add(self, invalidation: Invalidation) -> None:
        """Invalidate what the event concerns and is still valid."""
        self._recent.append(invalidation)
        for system, (*earlier, last) in self._revisions.items():
            if last.voided is None and invalidation.hits(system, last.cause.seq):
                self._revisions[system] = (*earlier, replace(last, voided=invalidation.cause))

    def restore(self, entry: int) -> None:
        """Make the revisions valid again that this event invalidated, and nothing else since."""
        self._recent = deque((other for other in self._recent if other.cause.seq != entry), maxlen=MOST_KEPT)
        after = [other for other in self._recent if other.cause.seq > entry]
        for system, (*earlier, last) in self._revisions.items():
            if last.voided is not None and last.voided.seq == entry:
                voided = next((other.cause for other in after if other.hits(system, last.cause.seq)), None)
                self._revisions[system] = (*earlier, replace(last, voided=voided))

    def since(self, seen: int, system: str, revision: int) -> Cause | None:
        """The latest event after ``seen`` that concerns a revision just fixed: it came while the facts were read."""
        late = takewhile(lambda other: other.cause.seq > seen, reversed(self._recent))
        return next((other.cause for other in late if other.hits(system, revision)), None)
