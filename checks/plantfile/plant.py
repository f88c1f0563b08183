"""The plant model: systems, functions, groups, devices, zones, conduits and answers.

These classes define the plant file (``format: 1`` and ``2``): names, types and ranges. Rules across entries are in
``consistency``, rules of one format in ``formats``. Rates are in FIT, as on data sheets; times are in hours.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    StringConstraints,
    model_validator,
)
from pydantic_core import PydanticCustomError

from checks.text.faults import STORABLE, UNSTORABLE
from scoring import voting as vote
from scoring.common_cause import Part
from scoring.methods import registry
from scoring.voting import Voting

Asked = tuple[str, str]
"""Id of a question, and the addressee of its answer."""

SMALLEST_FIT = 0.001
"""A rate above 0 and below this was entered per hour."""

OUTSIDE = "outside"
"""The end of a conduit that leaves the plant, such as a supplier's network."""


def _text(value: Any) -> Any:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _storable(value: str) -> str:
    if UNSTORABLE.search(value):
        raise PydanticCustomError("unstorable", STORABLE)
    return value


def _voting(value: Any) -> Voting:
    if isinstance(value, Voting):
        return value
    if not isinstance(value, str):
        raise ValueError("write M, two letters o, N, as in 2oo3")  # noqa: TRY004  (pydantic needs a ValueError)
    return vote.read(value)


def _day(value: str) -> str:
    if value:
        date.fromisoformat(value)
    return value


def _of(value: str) -> str:
    if value != "plant" and not re.fullmatch(r"(system|group|zone):\S+", value):
        raise ValueError("no such addressee")
    return value


def _whole(value: Any) -> Any:
    if type(value) is not int:
        raise ValueError("not a whole number")
    return value


def _fit(value: float) -> float:
    if 0.0 < value < SMALLEST_FIT:
        raise ValueError("too small for FIT")
    return value


def _empty(value: Any) -> Any:
    return {} if value is None else value


Id = Annotated[str, BeforeValidator(_text), StringConstraints(pattern=r"^\w[\w.-]*$", max_length=64)]
Text = Annotated[str, BeforeValidator(_text), StringConstraints(max_length=2000), AfterValidator(_storable)]
Name = Annotated[str, BeforeValidator(_text), StringConstraints(max_length=200), AfterValidator(_storable)]
Fit = Annotated[float, Field(ge=0.0, le=1e6), AfterValidator(_fit)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Repair = Annotated[float, Field(ge=0.0, le=87600.0)]
Interval = Annotated[float, Field(ge=24.0, le=438000.0)]
VotingText = Annotated[Voting, PlainValidator(_voting), PlainSerializer(str)]
Sl = Annotated[int, Field(ge=0, le=4)]
Value = Literal["met", "partly", "not-met", "unknown", "equivalent", "not-applicable"]
FrName = Literal["IAC", "UC", "SI", "DC", "RDF", "TRE", "RA"]


BetaId = Annotated[str, AfterValidator(registry.BETA.known)]
MoonId = Annotated[str, AfterValidator(registry.MOON_FACTORS.known)]
RedundancyId = Annotated[str, AfterValidator(registry.REDUNDANCY.known)]
ExposureId = Annotated[str, AfterValidator(registry.EXPOSURE.known)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


class About(_Strict):
    """Name of the plant, and a note shown on every screen."""

    name: Annotated[Name, StringConstraints(min_length=1)]
    note: Text = ""


EXPOSURE_RULE = {1: "graded", 2: "to-single"}
"""The default exposure rule of a plant file, by its format."""


class Conventions(_Strict):
    """Methods from answers to numbers, published or house rules; printed with every result."""

    beta_method: BetaId = "iec61508-6-2010"
    voting_factor: MoonId = "iec61508-6-2010"
    redundancy_method: RedundancyId = "annex-b"
    exposure_rule: ExposureId


class Device(_Strict):
    """Failure rates of one device [FIT]."""

    name: Name = ""
    lambda_du_fit: Fit
    lambda_dd_fit: Fit = 0.0
    lambda_s_fit: Fit = 0.0
    source: Text = ""


class Zone(_Strict):
    """Assets with the same security requirements, and the target level for each foundational requirement."""

    name: Name = ""
    safety_related: bool = False
    sl_target: Annotated[dict[FrName, Sl], BeforeValidator(_empty)] = {}
    note: Text = ""


class Conduit(_Strict):
    """Communication between two zones, or between a zone and ``outside``."""

    between: Annotated[list[Id], Field(min_length=2, max_length=2)]
    flow: Name = ""
    note: Text = ""


class ProofTest(_Strict):
    """Proof test of a group: interval T1 [h], share of undetected failures it finds, overhaul interval T2 [h]."""

    interval_h: Interval
    coverage: Share = 1.0
    full_interval_h: Interval | None = None
    staggered: bool = False


class StatedBeta(_Strict):
    """A specified beta, the value of a 1oo2 group; it replaces the questionnaire."""

    beta: Share
    beta_d: Share
    source: Text = ""


class Group(_Strict):
    """Channels that can fail by a common cause, with voting, tests and repair. Answers, beta and PFD belong to a group."""

    name: Name = ""
    part: Part
    voting: VotingText
    channels: Annotated[list[Annotated[list[Id], Field(min_length=1)]], Field(min_length=1)]
    tags: list[Name] = []
    zone: Id | None = None
    programmable: bool = True
    proof_test: ProofTest
    mttr_h: Repair
    mrt_h: Repair
    diagnostic_interval_h: Annotated[float, Field(gt=0.0, le=87600.0)] | None = None
    acts_on_detected: bool = False
    stated_beta: StatedBeta | None = None
    note: Text = ""


class System(_Strict):
    """A safety system: safety functions that share logic, workstation and utilities."""

    name: Name = ""
    functions: list[Id] = []


class Function(_Strict):
    """A safety function (SIF) with its target: RRF in low demand, PFH in high demand or continuous mode."""

    name: Name = ""
    demand: Literal["low", "high"]
    target_rrf: Annotated[float, Field(gt=1.0, le=1e6)] | None = None
    target_pfh: Annotated[float, Field(gt=0.0, lt=1e-2)] | None = None
    groups: Annotated[list[Id], Field(min_length=1)]

    @property
    def target(self) -> float:
        """Target RRF in low demand, target PFH [1/h] in high demand; raises ValueError where it is missing."""
        target = self.target_rrf if self.demand == "low" else self.target_pfh
        if target is None:
            raise ValueError(f"a {self.demand}-demand function without its target")
        return target


class Answer(_Strict):
    """The answer to one question for one addressee, with its evidence."""

    question: Annotated[str, StringConstraints(max_length=64)]
    of: Annotated[str, StringConstraints(max_length=80), AfterValidator(_of)]
    value: Value
    evidence: Text = ""
    note: Text = ""
    by: Name = ""
    on: Annotated[str, StringConstraints(max_length=32), AfterValidator(_day)] = ""

    @property
    def claimed(self) -> bool:
        """Whether it scores in full: met, or met by a compensating measure."""
        return self.value in ("met", "equivalent")

    @property
    def open(self) -> bool:
        """Whether it may still improve: unknown, or partly met."""
        return self.value in ("unknown", "partly")


def _with_exposure_rule(raw: Any) -> Any:
    """Plain data of a plant file with its exposure rule; the default depends on the format."""
    if not isinstance(raw, dict):
        return raw
    conventions = _empty(raw.get("conventions"))
    if isinstance(conventions, dict) and "exposure_rule" not in conventions:
        rule = EXPOSURE_RULE[2] if raw.get("format") == 2 else EXPOSURE_RULE[1]
        conventions = {**conventions, "exposure_rule": rule}
    return {**raw, "conventions": conventions}


class Plant(_Strict):
    """Content of a plant file."""

    format: Annotated[Literal[1, 2], BeforeValidator(_whole)]
    plant: About
    conventions: Conventions
    devices: dict[Id, Device]
    zones: Annotated[dict[Id, Zone], BeforeValidator(_empty)] = {}
    conduits: Annotated[dict[Id, Conduit], BeforeValidator(_empty)] = {}
    groups: dict[Id, Group]
    systems: Annotated[dict[Id, System], BeforeValidator(_empty)] = {}
    functions: dict[Id, Function]
    answers: Annotated[list[Answer], BeforeValidator(lambda value: [] if value is None else value)] = []

    _rule = model_validator(mode="before")(_with_exposure_rule)
