"""A failure on the plant: is it a common-cause event, must the cyber question be asked, what does it reopen.

The rule of a common-cause event has four parts, and all must be met. One part that is not met decides against it.
While none is against it and one is not known, the question stays open.

Source of the four parts: US Nuclear Regulatory Commission, Administrative Letter 98-04, 30 July 1998 (read). How a
record decides each part, and when the cyber question is asked, are house rules.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import inf

from checks.assessment.groups import upkeep
from checks.events.plant.failure import FoundBy
from checks.plantfile.plant import Plant
from checks.reassessment.reopening import Change, topics, unknown_addressees
from checks.text.faults import Fault, Refused

CYBER_TOPICS = frozenset({"FR3", "FR6", "T10"})
CYBER_QUESTION = (
    "Could a person or a program have brought this about, and what was checked to rule it out: log-ins, downloads, "
    "changes of mode, forced values, the running program against the approved one, devices that were connected?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureRecord:
    """One failure, or several that may belong together. None means that nobody knows yet.

    ``channels`` are those found failed or degraded; ``others_checked`` says whether the remaining ones were looked
    at. ``cause_explained`` is True only where what was found shows the cause, not where a part was merely replaced.
    ``cause_topics`` are the topics of the cause as a person names them. ``period_h`` is the time from the first to
    the last failure [h], 0 where they were found together. ``coupling_named`` is True where ``cause`` also says by
    what way it reached each channel, False where such a way was looked for and there is none. ``inside_boundary``
    says whether the channels themselves failed, and not something beyond the group that they merely obeyed.
    ``looked_at`` answers the cyber question: what was looked at, by whom, and what it showed. Raises Refused with every
    field that cannot be.
    """

    on: date
    reference: str
    groups: tuple[str, ...]
    channels: tuple[str, ...]
    found_by: FoundBy
    others_checked: bool = False
    cause: str = ""
    cause_explained: bool | None = None
    cause_topics: frozenset[str] = frozenset()
    period_h: float | None = None
    coupling_named: bool | None = None
    inside_boundary: bool | None = None
    software_involved: bool | None = None
    looked_at: str = ""

    def __post_init__(self) -> None:
        wrong = [
            Fault("cause_topics", f"{name} is no topic", f"any of: {', '.join(topics())}")
            for name in sorted(self.cause_topics - set(topics()))
        ]
        if not self.groups:
            wrong.append(Fault("groups", "none", "name the group or groups that it happened in"))
        if self.period_h is not None and not 0.0 <= self.period_h < inf:
            wrong.append(Fault("period_h", str(self.period_h), "hours from 0 up, or leave it out where not known"))
        if (self.cause_explained or self.coupling_named) and not self.cause.strip():
            wrong.append(Fault("cause", "missing", "write the cause, or say that it is not explained"))
        if wrong:
            raise Refused(self.reference or "failure record", wrong)

    @property
    def several(self) -> bool:
        """Whether more than one channel was found failed or degraded."""
        return len(set(self.channels)) > 1

    @property
    def unexplained(self) -> bool:
        """Whether the cause is not, or not yet, explained."""
        return self.cause_explained is not True

    def repeats(self, earlier: Iterable[FailureRecord]) -> bool:
        """Whether an earlier record is of one of the same groups; how far back they reach is the caller's choice."""
        return any(
            one.reference != self.reference and one.on <= self.on and not set(one.groups).isdisjoint(self.groups)
            for one in earlier
        )


@dataclass(frozen=True, slots=True)
class Part:
    """One of the four parts of the rule: met, not met (False) or not known (None), with a sentence that says why."""

    met: bool | None
    sentence: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """The four parts in the order of the source: components, period, cause with coupling, boundary."""

    parts: tuple[Part, Part, Part, Part]

    @property
    def is_event(self) -> bool | None:
        """Whether this is a common-cause event; None while the question is open."""
        met = {part.met for part in self.parts}
        return False if False in met else None if None in met else True

    @property
    def sentence(self) -> str:
        """The verdict in one sentence."""
        if self.is_event is None:
            return "Undecided until the unknown points are clarified."
        return "A common-cause event: all four parts are met." if self.is_event else "Not a common-cause event."


@dataclass(frozen=True, slots=True)
class CyberQuestion:
    """The question to ask, why it is asked, and the topics on which its answer bears."""

    reasons: tuple[str, ...]
    text: str = CYBER_QUESTION
    topics: frozenset[str] = CYBER_TOPICS


def verdict(record: FailureRecord, plant: Plant) -> Verdict:
    """Whether a record is a common-cause event, part by part; raises Refused for a group the plant does not have."""
    _known(record, plant)
    return Verdict((_components(record, plant), _period(record, plant), _cause(record), _boundary(record)))


def _known(record: FailureRecord, plant: Plant) -> None:
    wrong = unknown_addressees([f"group:{key}" for key in record.groups], plant)
    if wrong:
        raise Refused(record.reference, wrong)


def _components(record: FailureRecord, plant: Plant) -> Part:
    found, fitted = len(set(record.channels)), sum(len(plant.groups[key].channels) for key in set(record.groups))
    if record.several:
        return Part(met=True, sentence=f"Met: {found} channels failed or were degraded.")
    if fitted <= 1:
        return Part(met=False, sentence="Not met: there is only one channel.")
    if record.others_checked:
        what = "only one channel" if found else "no channel"
        return Part(met=False, sentence=f"Not met: {what} failed or was degraded, and the others were inspected.")
    return Part(met=None, sentence="Not known: inspection of the other channels is not recorded. Inspect them now.")


def _period(record: FailureRecord, plant: Plant) -> Part:
    """Within a proof-test interval both can have been down together; beyond it only if that test missed the first."""
    if record.period_h is None:
        return Part(met=None, sentence="Not known: the time from the first failure to the last is not given.")
    care = [upkeep(plant.groups[key]) for key in record.groups]
    interval = max(one.interval for one in care)
    full = max(one.full_interval if one.coverage < 1.0 else one.interval for one in care)
    apart = f"{record.period_h:,.10g} h from first to last"
    if record.period_h <= interval:
        return Part(met=True, sentence=f"Met: {apart}, within one proof-test interval of {interval:,.10g} h.")
    if record.period_h <= full:
        sentence = f"Not known: {apart} is longer than the proof-test interval of {interval:,.10g} h, but that test "
        return Part(met=None, sentence=sentence + "does not find everything, so both may have been down together.")
    return Part(met=False, sentence=f"Not met: {apart}, with a complete test between them.")


def _cause(record: FailureRecord) -> Part:
    if record.coupling_named is False:
        return Part(met=False, sentence="Not met: no coupling of one cause to each channel was found.")
    if record.unexplained:
        return Part(met=None, sentence="Not known: the cause is not explained.")
    if record.coupling_named is None:
        sentence = "Not known: the cause is explained, but not the coupling to each channel."
        return Part(met=None, sentence=sentence)
    return Part(met=True, sentence="Met: one cause is explained, and its coupling to each channel is named.")


def _boundary(record: FailureRecord) -> Part:
    if record.inside_boundary is None:
        return Part(met=None, sentence="Not known: it is not recorded whether the channels themselves failed.")
    if record.inside_boundary:
        return Part(met=True, sentence="Met: the channels themselves failed or were degraded.")
    return Part(met=False, sentence="Not met: the failure lies outside the group; its channels worked as they should.")


def cyber_question(
    record: FailureRecord, plant: Plant, *, earlier: Iterable[FailureRecord] = ()
) -> CyberQuestion | None:
    """The cyber question, where a record must ask it; None where not. Raises Refused for an unknown group.

    House rule: what fails without an explanation, again, or in several channels at once may have been brought about.
    """
    _known(record, plant)
    reasons = []
    if record.unexplained:
        logic = record.found_by == "mode-change" or any(plant.groups[key].part == "logic" for key in record.groups)
        what = "A fault or change of mode of the logic solver" if logic else "A failure"
        reasons.append(f"{what} has no explained cause.")
    if record.repeats(earlier):
        reasons.append("The same group failed before.")
    if record.several:
        reasons.append("More than one channel failed or was degraded.")
    return CyberQuestion(tuple(reasons)) if reasons else None


def changes(record: FailureRecord, *, earlier: Iterable[FailureRecord] = ()) -> tuple[Change, ...]:
    """The kinds of change that a record amounts to, to be passed to ``reopening.reopened``.

    None for a single explained failure found by a test: it counts in the failure rates and makes no answer doubtful.
    Software that had a part counts like several channels, since each of them runs it (house rule). The cyber topics
    stay in unless the cause is explained and software had no part.
    """
    found = []
    if record.several or record.repeats(earlier) or record.software_involved:
        found.append("several-channels-failed")
    if record.unexplained or record.found_by == "unwanted-trip":
        found.append("unexplained-event")
    if record.found_by == "demand":
        found.append("real-demand")
    touched = frozenset(f"group:{key}" for key in record.groups)
    open_to_doubt = record.unexplained or record.software_involved is not False
    return tuple(Change(kind, touched, record.cause_topics, condition_holds=open_to_doubt) for kind in found)
