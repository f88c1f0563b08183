"""Failures on the plant: common-cause verdict, cyber question, and the changes that reopen answers.

The rule for a common-cause event has four parts, and all must be met. One part that is not met decides against it. The
verdict is open while no part is against it and at least one is not known.

Source of the four parts: US Nuclear Regulatory Commission, Administrative Letter 98-04, 30 July 1998 (read). How a
record decides each part, and when the cyber question is asked, are house rules.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import inf

from checks.events.plant.failure import FoundBy
from checks.plantfile.plant import Plant
from checks.reassessment.kinds_of_change import topics
from checks.reassessment.reopening import Change, unknown_addressees
from checks.text.faults import Fault, Refused

MOST_CHANNELS = 100
"""Maximum number of channels that one record counts."""
CYBER_TOPICS = frozenset({"FR3", "FR6", "T10"})
CYBER_QUESTION = (
    "Could a person or a program have caused this, and what was checked to rule it out: log-ins, downloads, "
    "changes of mode, forced values, the running program against the approved one, devices that were connected?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureRecord:
    """One failure, or several that may belong together. None means not known yet.

    ``channels`` are those found failed or degraded; ``others_checked`` says whether the other channels were inspected.
    ``cause_explained`` is True only if the findings show the cause, not if a part was merely replaced.
    ``cause_topics`` are the topics of the cause as named by a person. ``period_h`` is the time from the first to
    the last failure [h], 0 if they were found together. ``coupling_named`` is True if ``cause`` also names the coupling
    to each channel, False if a coupling was searched for and not found. ``inside_boundary`` says whether the channels
    themselves failed, and not something outside the group that they responded to correctly. ``looked_at`` answers the
    cyber question: what was checked, by whom, and the result.

    ``channels_at_risk`` is the number of channels that could have failed, where it was not that of the plant data.
    ``shared_weight`` is the probability, 0 to 1, that several failed channels have a shared cause. ``staggered_tests`` says whether
    the channels are tested in turn. Raises Refused with every invalid field.
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
    channels_at_risk: int | None = None
    shared_weight: float | None = None
    staggered_tests: bool | None = None

    def __post_init__(self) -> None:
        faults = [
            Fault("cause_topics", f"{name} is no topic", f"any of: {', '.join(topics())}")
            for name in sorted(self.cause_topics - set(topics()))
        ]
        if not self.groups:
            faults.append(Fault("groups", "none", "name the group or groups that it happened in"))
        if self.period_h is not None and not 0.0 <= self.period_h < inf:
            faults.append(Fault("period_h", str(self.period_h), "hours from 0 up, or leave it out where not known"))
        if (self.cause_explained or self.coupling_named) and not self.cause.strip():
            faults.append(Fault("cause", "missing", "write the cause, or say that it is not explained"))
        faults += self._faults_of_counts()
        if faults:
            raise Refused(self.reference or "failure record", faults)

    def _faults_of_counts(self) -> list[Fault]:
        faults = []
        failed, fitted, weight = len(set(self.channels)), self.channels_at_risk, self.shared_weight
        if fitted is not None and not max(1, failed) <= fitted <= MOST_CHANNELS:
            allowed = f"a whole number from the {failed} found failed to {MOST_CHANNELS}, or leave it out"
            faults.append(Fault("channels_at_risk", str(fitted), allowed))
        if weight is not None and not 0.0 <= weight <= 1.0:
            faults.append(Fault("shared_weight", str(weight), "a probability from 0 to 1, or leave it out"))
        return faults

    @property
    def several(self) -> bool:
        """Whether more than one channel was found failed or degraded."""
        return len(set(self.channels)) > 1

    @property
    def unexplained(self) -> bool:
        """Whether the cause is not, or not yet, explained."""
        return self.cause_explained is not True

    def repeats(self, earlier: Iterable[FailureRecord]) -> bool:
        """Whether an earlier record names one of the same groups; the caller chooses how far back to look."""
        return any(
            record.reference != self.reference
            and record.on <= self.on
            and not set(record.groups).isdisjoint(self.groups)
            for record in earlier
        )


@dataclass(frozen=True, slots=True)
class Part:
    """One of the four parts of the rule: met, not met (False) or not known (None), with the reason in a sentence."""

    met: bool | None
    sentence: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """The four parts in the order of the source: components, period, cause with coupling, boundary."""

    parts: tuple[Part, Part, Part, Part]

    @property
    def is_event(self) -> bool | None:
        """Whether this is a common-cause event; None while undecided."""
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
    """The question to ask, the reasons for it, and the topics its answer affects."""

    reasons: tuple[str, ...]
    text: str = CYBER_QUESTION
    topics: frozenset[str] = CYBER_TOPICS


def verdict(record: FailureRecord, plant: Plant) -> Verdict:
    """Whether a record is a common-cause event, part by part; raises Refused for a group the plant does not have."""
    _check_groups(record, plant)
    return Verdict((_components(record, plant), _period(record, plant), _cause(record), _boundary(record)))


def _check_groups(record: FailureRecord, plant: Plant) -> None:
    faults = unknown_addressees([f"group:{key}" for key in record.groups], plant)
    if faults:
        raise Refused(record.reference, faults)


def _components(record: FailureRecord, plant: Plant) -> Part:
    failed, fitted = len(set(record.channels)), sum(len(plant.groups[key].channels) for key in set(record.groups))
    if record.several:
        return Part(met=True, sentence=f"Met: {failed} channels failed or were degraded.")
    if fitted <= 1:
        return Part(met=False, sentence="Not met: there is only one channel.")
    if record.others_checked:
        channels = "only one channel" if failed else "no channel"
        return Part(met=False, sentence=f"Not met: {channels} failed or was degraded, and the others were inspected.")
    return Part(met=None, sentence="Not known: inspection of the other channels is not recorded. Inspect them now.")


def _period(record: FailureRecord, plant: Plant) -> Part:
    """Within a proof-test interval both may have been failed together; beyond it only if that test missed the first."""
    if record.period_h is None:
        return Part(met=None, sentence="Not known: the time from the first failure to the last is not given.")
    tests = [[test.interval_h for test in plant.groups[key].all_tests] for key in record.groups]
    if not all(tests):
        return Part(met=None, sentence="Not known: no proof test is entered for a group with a stated result.")
    interval, full = max(map(min, tests)), max(map(max, tests))
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
    """The cyber question for a record; None if it need not be asked. Raises Refused for an unknown group.

    House rule: an unexplained, repeated or multi-channel failure may have been caused on purpose.
    """
    _check_groups(record, plant)
    reasons = []
    if record.unexplained:
        logic = record.found_by == "mode-change" or any(plant.groups[key].part == "logic" for key in record.groups)
        event = "A fault or change of mode of the logic solver" if logic else "A failure"
        reasons.append(f"{event} has no explained cause.")
    if record.repeats(earlier):
        reasons.append("The same group failed before.")
    if record.several:
        reasons.append("More than one channel failed or was degraded.")
    return CyberQuestion(tuple(reasons)) if reasons else None


def changes(record: FailureRecord, *, earlier: Iterable[FailureRecord] = ()) -> tuple[Change, ...]:
    """The changes that a record causes, for ``reopening.reopened``.

    Empty for a single explained failure found by a test: it counts in the failure rates and affects no answer.
    Involved software counts like several channels, since each of them runs it (house rule). The cyber topics are
    included unless the cause is explained and software was not involved.
    """
    kinds = []
    if record.several or record.repeats(earlier) or record.software_involved:
        kinds.append("several-channels-failed")
    if record.unexplained or record.found_by == "unwanted-trip":
        kinds.append("unexplained-event")
    if record.found_by == "demand":
        kinds.append("real-demand")
    touched = frozenset(f"group:{key}" for key in record.groups)
    software_possible = record.unexplained or record.software_involved is not False
    return tuple(Change(kind, touched, record.cause_topics, condition_holds=software_possible) for kind in kinds)
