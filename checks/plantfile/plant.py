"""The plant model: systems, functions, groups, devices, zones, conduits and answers.

These classes define the plant file (``format: 1`` and ``2``): names, types and ranges. Rules across entries are in
``consistency``, rules of one format in ``formats``. Rates are in FIT, as on data sheets; times are in hours.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, StringConstraints, Tag, model_validator

from checks.plantfile.equipment import Device, Group
from checks.plantfile.fields import (
    BetaId,
    ExposureId,
    FrName,
    Id,
    Mission,
    MoonId,
    Name,
    RedundancyId,
    Share,
    Sl,
    Strict,
    Text,
    Value,
    VotingText,
    addressee,
    day,
    empty,
    whole,
)

Asked = tuple[str, str]
"""Id of a question, and the addressee of its answer."""

OUTSIDE = "outside"
"""The end of a conduit that leaves the plant, such as a supplier's network."""


class About(Strict):
    """Name of the plant, and a note shown on every screen."""

    name: Annotated[Name, StringConstraints(min_length=1)]
    note: Text = ""


EXPOSURE_RULE = {1: "graded", 2: "to-single"}
"""The default exposure rule of a plant file, by its format."""


class Conventions(Strict):
    """Methods from answers to numbers, published or house rules; printed with every result."""

    beta_method: BetaId = "iec61508-6-2010"
    voting_factor: MoonId = "iec61508-6-2010"
    redundancy_method: RedundancyId = "annex-b"
    exposure_rule: ExposureId
    mission_h: Mission | None = None


class Zone(Strict):
    """Assets with the same security requirements, and the target level for each foundational requirement."""

    name: Name = ""
    safety_related: bool = False
    sl_target: Annotated[dict[FrName, Sl], BeforeValidator(empty)] = {}
    note: Text = ""


class Conduit(Strict):
    """Communication between two zones, or between a zone and ``outside``.

    ``one_way_to`` is the end to which hardware (a data diode) lets data pass, and nothing back.
    """

    between: Annotated[list[Id], Field(min_length=2, max_length=2)]
    flow: Name = ""
    one_way_to: Id | None = None
    note: Text = ""


class System(Strict):
    """A safety system: safety functions that share logic, workstation and utilities."""

    name: Name = ""
    functions: list[Id] = []


class VotedOtherwise(Strict):
    """A group with another voting of the same channels in one function."""

    group: Id
    voting: VotingText


class StatedAlternativesBeta(Strict):
    """What alternatives share with each other, as a share of the smallest result among them."""

    beta: Share
    source: Text = ""


class Alternatives(Strict):
    """Groups of which any is enough; ``stated_beta`` is what they share with each other."""

    any: Annotated[list[Id], Field(min_length=2, max_length=8)]
    stated_beta: StatedAlternativesBeta


def _entry_kind(value: Any) -> str:
    if isinstance(value, Alternatives) or (isinstance(value, dict) and "any" in value):
        return "[any]"
    return "[voted]" if isinstance(value, dict | VotedOtherwise) else "[id]"


Entry = Annotated[
    Annotated[Id, Tag("[id]")] | Annotated[VotedOtherwise, Tag("[voted]")] | Annotated[Alternatives, Tag("[any]")],
    Discriminator(_entry_kind),
]
"""One entry in the groups of a function: a group, a group voted otherwise, or alternatives. Tags in brackets are no ids."""


def ids_in(entry: Any) -> tuple[str, ...]:
    """Ids of the groups in one entry of a function, also of plain data."""
    if isinstance(entry, dict):
        listed = entry.get("any")
        return (
            tuple(map(str, listed))
            if isinstance(listed, list)
            else tuple(str(entry[key]) for key in ("group",) if key in entry)
        )
    if isinstance(entry, VotedOtherwise):
        return (entry.group,)
    return tuple(entry.any) if isinstance(entry, Alternatives) else (str(entry),)


def in_words(entry: str | VotedOtherwise | Alternatives) -> str:
    """An entry of a function in words: ``pt``, ``pt as 1oo3``, ``any of ft, lt``."""
    if isinstance(entry, VotedOtherwise):
        return f"{entry.group} as {entry.voting}"
    return f"any of {', '.join(entry.any)}" if isinstance(entry, Alternatives) else entry


class Function(Strict):
    """A safety function (SIF) with its target: RRF in low demand, PFH in high demand or continuous mode, or a SIL.

    ``demand_zone`` is the zone of the control layer whose failure makes the demand on it.
    """

    name: Name = ""
    demand: Literal["low", "high"]
    target_rrf: Annotated[float, Field(gt=1.0, le=1e6)] | None = None
    target_pfh: Annotated[float, Field(gt=0.0, lt=1e-2)] | None = None
    target_sil: Annotated[int, Field(ge=1, le=4)] | None = None
    demand_zone: Id | None = None
    groups: Annotated[list[Entry], Field(min_length=1)]

    @property
    def group_ids(self) -> tuple[str, ...]:
        """Ids of its groups, alternatives included."""
        return tuple(key for entry in self.groups for key in ids_in(entry))

    def defeated_by(self, groups: Collection[str]) -> tuple[str, ...]:
        """Those of some groups whose loss defeats the function: of alternatives all must be among them."""
        defeated = frozenset(groups)
        return tuple(key for entry in self.groups if defeated.issuperset(ids_in(entry)) for key in ids_in(entry))

    @property
    def target(self) -> float:
        """Target RRF in low demand, target PFH [1/h] in high demand; raises ValueError where it is missing.

        A target SIL is the bound of its band with the least risk reduction: SIL 2 is RRF 100, or a PFH of 1e-6/h.
        """
        target = self.target_rrf if self.demand == "low" else self.target_pfh
        if target is None and self.target_sil is not None:
            target = 10.0**self.target_sil if self.demand == "low" else 10.0 ** -(self.target_sil + 4)
        if target is None:
            raise ValueError(f"a {self.demand}-demand function without its target")
        return target


class Answer(Strict):
    """The answer to one question for one addressee, with its evidence."""

    question: Annotated[str, StringConstraints(max_length=64)]
    of: Annotated[str, StringConstraints(max_length=80), AfterValidator(addressee)]
    value: Value
    evidence: Text = ""
    note: Text = ""
    by: Name = ""
    on: Annotated[str, StringConstraints(max_length=32), AfterValidator(day)] = ""

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
    conventions = empty(raw.get("conventions"))
    if isinstance(conventions, dict) and "exposure_rule" not in conventions:
        rule = EXPOSURE_RULE[2] if raw.get("format") == 2 else EXPOSURE_RULE[1]
        conventions = {**conventions, "exposure_rule": rule}
    return {**raw, "conventions": conventions}


class Plant(Strict):
    """Content of a plant file."""

    format: Annotated[Literal[1, 2], BeforeValidator(whole)]
    plant: About
    conventions: Conventions
    devices: dict[Id, Device]
    zones: Annotated[dict[Id, Zone], BeforeValidator(empty)] = {}
    conduits: Annotated[dict[Id, Conduit], BeforeValidator(empty)] = {}
    groups: dict[Id, Group]
    systems: Annotated[dict[Id, System], BeforeValidator(empty)] = {}
    functions: dict[Id, Function]
    answers: Annotated[list[Answer], BeforeValidator(lambda value: [] if value is None else value)] = []

    _rule = model_validator(mode="before")(_with_exposure_rule)
