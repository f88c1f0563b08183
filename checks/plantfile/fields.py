"""Types of the fields of a plant file: texts, ids, rates, times, shares, votings, names of methods."""

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
)
from pydantic_core import PydanticCustomError

from checks.text.faults import STORABLE, UNSTORABLE
from scoring import voting as vote
from scoring.methods import registry
from scoring.voting import Voting

SMALLEST_FIT = 0.001
"""A rate above 0 and below this was entered per hour."""


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


def day(value: str) -> str:
    """A date in ISO form, or empty; raises ValueError."""
    if value:
        date.fromisoformat(value)
    return value


def addressee(value: str) -> str:
    """An addressee of an answer; raises ValueError."""
    if value != "plant" and not re.fullmatch(r"(system|group|zone):\S+", value):
        raise ValueError("no such addressee")
    return value


def whole(value: Any) -> Any:
    """A whole number; raises ValueError."""
    if type(value) is not int:
        raise ValueError("not a whole number")
    return value


def _fit(value: float) -> float:
    if 0.0 < value < SMALLEST_FIT:
        raise ValueError("too small for FIT")
    return value


def empty(value: Any) -> Any:
    """An empty mapping for a key without a value."""
    return {} if value is None else value


Id = Annotated[str, BeforeValidator(_text), StringConstraints(pattern=r"^\w[\w.-]*$", max_length=64)]
Text = Annotated[str, BeforeValidator(_text), StringConstraints(max_length=2000), AfterValidator(_storable)]
Name = Annotated[str, BeforeValidator(_text), StringConstraints(max_length=200), AfterValidator(_storable)]
Fit = Annotated[float, Field(ge=0.0, le=1e6), AfterValidator(_fit)]
Day = Annotated[str, StringConstraints(max_length=32), AfterValidator(day)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Repair = Annotated[float, Field(ge=0.0, le=87600.0)]
Mission = Annotated[float, Field(ge=8760.0, le=876000.0)]
Interval = Annotated[float, Field(ge=24.0, le=438000.0)]
VotingText = Annotated[Voting, PlainValidator(_voting), PlainSerializer(str)]
Sl = Annotated[int, Field(ge=0, le=4)]
Value = Literal[
    "met",
    "partly",
    "not-met",
    "unknown",
    "equivalent",
    "not-applicable",
    "level-a",
    "level-a-plus",
    "level-b",
    "level-b-plus",
    "level-c",
    "level-d",
    "level-e",
]
"""An answer: to a measure, or the level that answers a question of a method that asks for levels."""
FrName = Literal["IAC", "UC", "SI", "DC", "RDF", "TRE", "RA"]


BetaId = Annotated[str, AfterValidator(registry.BETA.known)]
MoonId = Annotated[str, AfterValidator(registry.MOON_FACTORS.known)]
RedundancyId = Annotated[str, AfterValidator(registry.REDUNDANCY.known)]
ExposureId = Annotated[str, AfterValidator(registry.EXPOSURE.known)]


class Strict(BaseModel):
    """A frozen part of a plant file; unknown keys, other types, infinities and NaN are rejected."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)
