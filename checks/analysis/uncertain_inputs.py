"""Which inputs of a result are uncertain, and their distributions: failure rates of device types, and betas of groups."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from checks.assessment.results import GroupResult
from checks.plantfile.plant import Plant
from scoring.uncertainty.distributions import Distribution, Lognormal, Triangle
from scoring.uncertainty.method import ERROR_FACTOR

Kind = Literal["rates", "beta"]
NAMES: dict[Kind, str] = {"rates": "failure rates of {key}", "beta": "beta of {key}"}


@dataclass(frozen=True, slots=True)
class Input:
    """An uncertain input: all failure rates of a device type, as a factor on them, or the beta of a group.

    ``assumed``: the device states no error factor, so that of the convention is used.
    """

    kind: Kind
    key: str
    distribution: Distribution
    assumed: bool = False

    @property
    def name(self) -> str:
        """The input in words, such as ``failure rates of ESV``."""
        return NAMES[self.kind].format(key=self.key)

    @property
    def spread(self) -> str:
        """Its distribution in words."""
        if isinstance(self.distribution, Lognormal):
            return f"error factor {self.distribution.error_factor:g}{', by convention' if self.assumed else ''}"
        assert isinstance(self.distribution, Triangle)  # noqa: S101  (a beta)
        low, mode, high = (
            f"{100.0 * end:.3g} %" for end in (self.distribution.low, self.distribution.mode, self.distribution.high)
        )
        return f"{low} to {high}, now {mode}"


def of_groups(plant: Plant, groups: Iterable[GroupResult]) -> list[Input]:
    """The uncertain inputs of groups, in the order of their ids, so that the order in a file does not matter.

    One draw for a device type in all groups, and for a group in all its votings: the same state of knowledge. Left
    out is what has one value only: an error factor 1, a beta without open answers, a stated beta or result.
    """
    listed = [group for group in groups if not group.stated]
    devices = {name for group in listed for name in plant.groups[group.id].devices}
    betas = {group.id: beta for group in listed if (beta := beta_of(group)) is not None}
    inputs = [_rates(plant, name) for name in sorted(devices)]
    inputs += [Input("beta", key, beta) for key, beta in sorted(betas.items())]
    return [found for found in inputs if found is not None and not found.distribution.certain]


def _rates(plant: Plant, name: str) -> Input | None:
    """The failure rates of a device as a factor on their entered values, the means; None for a device without any."""
    device = plant.devices[name]
    if not (device.lambda_du_fit or device.lambda_dd_fit):
        return None
    stated = device.error_factor
    return Input("rates", name, Lognormal(1.0, ERROR_FACTOR if stated is None else stated), assumed=stated is None)


def beta_of(group: GroupResult) -> Triangle | None:
    """Beta of a group as it is voted, over the range of open answers; None without redundancy, or where it is 0."""
    if group.betas is None or group.beta_band is None or not group.betas.beta:
        return None
    ends = (*group.beta_band, group.betas.beta)
    return Triangle(min(ends), group.betas.beta, max(ends))


def fixed(plant: Plant, groups: Sequence[GroupResult]) -> list[str]:
    """What is held at its value although somebody only stated it: results of bought groups, and specified betas.

    The beta of an element that survives no failure is not among them: its spurious trips alone have it.
    """
    stated = [f"stated result of {group.id}" for group in groups if group.stated]
    betas = [
        f"beta of {group.id}" for group in groups if not group.stated and group.betas is not None and not group.asked
    ]
    inside = [(group.id, element) for group in groups for element in plant.groups[group.id].elements]
    own = [f"beta of {element} in {key}" for key, element in inside if element.stated_beta and element.voting.redundant]
    return [*stated, *betas, *own]
