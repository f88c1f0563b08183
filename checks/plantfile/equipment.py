"""Equipment in the plant model: devices with their rates; groups with voting, tests and repair, or with a stated result.

Rates are in FIT, as on data sheets; times are in hours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainSerializer, Tag

from checks.plantfile.fields import (
    Day,
    Fit,
    Id,
    Interval,
    MoonId,
    Name,
    RedundancyId,
    Repair,
    Share,
    Strict,
    Text,
    VotingText,
)
from scoring.common_cause import Part
from scoring.voting import SINGLE, Voting


class FieldData(Strict):
    """What the rates of a device rest on in use: their confidence as entered, and the source of the data."""

    confidence: Share
    source: Text = ""


class SystematicCapability(Strict):
    """Systematic capability as entered, SC 1 to SC 4, with the certificate or the justification."""

    sc: Annotated[int, Field(ge=1, le=4)]
    source: Text = ""


class Device(Strict):
    """Failure rates of one device [FIT]. ``lambda_sd_fit`` is the detected part of ``lambda_s_fit``.

    ``lambda_s_fit`` is None where no rate of safe failures is entered. ``error_factor`` is the upper 95 % bound of a rate over its
    median. ``type``, ``field_data`` and ``systematic_capability`` are statements about the architecture; no result needs them.
    """

    name: Name = ""
    lambda_du_fit: Fit
    lambda_dd_fit: Fit = 0.0
    lambda_s_fit: Fit | None = None
    lambda_sd_fit: Fit | None = None
    error_factor: Annotated[float, Field(ge=1.0, le=100.0)] | None = None
    source: Text = ""
    type: Literal["A", "B"] | None = None
    field_data: FieldData | None = None
    systematic_capability: SystematicCapability | None = None


class ProofTest(Strict):
    """Proof test of a group: interval T1 [h], share of undetected failures it finds, overhaul interval T2 [h]."""

    interval_h: Interval
    coverage: Share = 1.0
    full_interval_h: Interval | None = None
    staggered: bool = False


class Test(Strict):
    """One test of a group: interval [h], and the share of all undetected failures of the devices named that it finds.

    Without ``devices`` it tests all. ``offsets_h`` are the times of the first test of each channel [h]. For ``duration_h`` the
    channel or the group is in test, unless ``bypass`` is none. ``error`` is the chance that the test leaves the group failed.
    """

    __test__ = False

    name: Name = ""
    interval_h: Interval
    coverage: Share
    devices: list[Id] = []
    offsets_h: list[Annotated[float, Field(ge=0.0, le=438000.0)]] = []
    duration_h: Annotated[float, Field(ge=0.0, le=8760.0)] = 0.0
    bypass: Literal["group", "channel", "none"] | None = None
    error: Share = 0.0

    @property
    def moments(self) -> int:
        """Number of different times in one interval at which channels are tested."""
        return len({offset % self.interval_h for offset in self.offsets_h}) or 1


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


class StatedBeta(Strict):
    """A specified beta instead of the questionnaire: the value of a pair (1oo2), or of the group as it is."""

    beta: Share
    beta_d: Share
    of: Literal["pair", "group"] = "pair"
    source: Text = ""


class Element(Strict):
    """A redundant element inside a channel: devices of which M of N are enough, and the beta of what they share with each other.

    ``stated_beta`` is needed where it survives a failure, and may be given where it survives none, for its spurious trips. It counts
    in what not all channels of the group share.
    """

    voting: VotingText
    of: Annotated[tuple[Id, ...], BeforeValidator(_as_tuple), Field(min_length=1, max_length=8), PlainSerializer(list)]
    stated_beta: StatedBeta | None = None

    def __str__(self) -> str:
        return f"{self.voting} of {', '.join(self.of)}"

    @property
    def with_beta(self) -> str:
        """The element in words, with the beta that is stated for it."""
        stated = self.stated_beta
        if stated is None:
            return str(self)
        kind = " of group" if stated.of == "group" else ""
        return f"{self} (beta {stated.beta:g}{kind}, beta_d {stated.beta_d:g})"


def _entry_kind(value: Any) -> str:
    return "[element]" if isinstance(value, dict | Element) else "[id]"


Inside = Annotated[
    Annotated[Id, Tag("[id]")] | Annotated[Element, Tag("[element]")],
    Discriminator(_entry_kind),
]
"""One entry of a channel: a device, or a redundant element. Tags in brackets are no ids."""


def devices_in(channel: Iterable[str | Element]) -> Iterator[str]:
    """Ids of the devices of a channel, those inside its elements in their places."""
    for part in channel:
        if isinstance(part, Element):
            yield from part.of
        else:
            yield part


class StatedResult(Strict):
    """Result of a bought group as its maker states it: PFDavg [-], PFH [1/h]; ``covers`` says under which conditions."""

    pfd: Annotated[float, Field(gt=0.0, lt=1.0)] | None = None
    pfh: Annotated[float, Field(gt=0.0, lt=1e-2)] | None = None
    source: Text = ""
    covers: Text = ""


class GroupConventions(Strict):
    """Conventions of one group, where they differ from those of the plant.

    ``beta_method`` carries the beta of the group, for the reason given beside it.
    """

    voting_factor: MoonId | None = None
    beta_method: Name | None = None
    beta_method_reason: Text = ""
    redundancy_method: RedundancyId | None = None


class Group(Strict):
    """Channels that can fail by a common cause, with voting, tests and repair; or a bought group with a stated result.

    Answers, beta and PFD belong to a group. With ``stated_result`` there is no voting, no channel, no test and no repair; else
    all of these are given, and either ``proof_test`` or ``tests``. ``diagnostic_switch`` is K of a 1oo2D group.
    ``observed_since`` is the day from which on every failure found in the group is on record.
    """

    name: Name = ""
    part: Part
    voting: VotingText | None = None
    channels: list[Annotated[list[Inside], Field(min_length=1)]] = []
    tags: list[Name] = []
    zone: Id | None = None
    programmable: bool = True
    proof_test: ProofTest | None = None
    tests: list[Test] = []
    check_others: bool = False
    mttr_h: Repair | None = None
    mrt_h: Repair | None = None
    diagnostic_interval_h: Annotated[float, Field(gt=0.0, le=87600.0)] | None = None
    diagnostic_switch: Share | None = None
    acts_on_detected: bool = False
    stated_beta: StatedBeta | None = None
    stated_result: StatedResult | None = None
    conventions: GroupConventions | None = None
    systematic_capability: SystematicCapability | None = None
    observed_since: Day = ""
    note: Text = ""

    @property
    def voted(self) -> Voting:
        """The voting; that of a single channel for a stated result, which has no redundancy to calculate with."""
        return self.voting or SINGLE

    @property
    def devices(self) -> tuple[str, ...]:
        """Ids of the devices of all channels, each once, in order."""
        return tuple(dict.fromkeys(name for channel in self.channels for name in devices_in(channel)))

    @property
    def elements(self) -> tuple[Element, ...]:
        """The redundant elements inside its channels."""
        return tuple(part for channel in self.channels for part in channel if isinstance(part, Element))

    @property
    def beyond_annex_b(self) -> str:
        """Why Annex B has no form for it, as a clause; empty where it has one."""
        reasons = ["one channel is in test while the others stay in service"] if self.tested_by_channel else []
        reasons += ["a channel has a redundant element inside"] if self.elements else []
        return ", and ".join(reasons)

    @property
    def arrangement(self) -> str:
        """The voting in words, such as ``2oo3``, or ``stated result``."""
        return str(self.voting) if self.voting else "stated result"

    @property
    def tested_in_turn(self) -> bool:
        """Whether its channels are tested at different times."""
        staggered = self.proof_test is not None and self.proof_test.staggered
        return staggered or any(test.moments > 1 for test in self.tests)

    @property
    def tested_by_channel(self) -> bool:
        """Whether one channel is in test while the others stay in service."""
        return len(self.channels) > 1 and any(test.duration_h and test.bypass == "channel" for test in self.tests)

    @property
    def all_tests(self) -> Sequence[Test]:
        """The tests; a proof test counts as one test, or as two with the overhaul that finds the rest."""
        test = self.proof_test
        if test is None:
            return self.tests
        first = Test(name="proof test", interval_h=test.interval_h, coverage=test.coverage)
        if test.coverage == 1.0 or test.full_interval_h is None:
            return (first,)
        return (first, Test(name="overhaul", interval_h=test.full_interval_h, coverage=1.0))
