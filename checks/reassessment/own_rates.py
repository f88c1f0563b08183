"""Failure rates of channels from the plant's own failures, beside the rates that the calculation assumes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from checks.plantfile.equipment import devices_in
from checks.reassessment import failure_counts
from checks.reassessment.failure_counts import FailureHistory
from scoring.field_data.observed_rates import ObservedRate, observed_rate
from scoring.field_data.quantiles import Standing
from scoring.units import HOURS_PER_DAY, HOURS_PER_YEAR, PerHour, per_hour


@dataclass(frozen=True, slots=True)
class OwnRate:
    """Dangerous undetected failure rate of channels with the same devices, observed and assumed [1/h].

    ``devices`` are in series, so the assumed rate is their sum. ``groups`` are observed, ``unobserved`` are groups of the same
    channels without a start of observation, ``not_shown`` counts those whose failures the reader may not see. ``observed``
    is None where no time in service is known.
    """

    devices: tuple[str, ...]
    assumed: PerHour
    channels: int
    groups: tuple[str, ...]
    unobserved: tuple[str, ...]
    not_shown: int
    observed: ObservedRate | None

    @property
    def channel_years(self) -> float:
        """Time in service of all channels together, in years."""
        return self.observed.hours / HOURS_PER_YEAR if self.observed else 0.0

    @property
    def standing(self) -> Standing | None:
        """Where the assumed rate lies beside the observed interval; None without one."""
        return self.observed.standing(self.assumed) if self.observed else None


def own_rates(history: FailureHistory, groups: Iterable[str]) -> list[OwnRate]:
    """Rates of the kinds of channels of these groups, each kind once. Groups of unlike channels have none.

    Names of failed channels do not say which of unlike channels failed, nor which devices of a redundant element inside one.
    """
    entered = history.assessment.plant.groups
    first_of: dict[tuple[str, ...], str] = {}
    for key in groups:
        kinds = failure_counts.channel_kinds(entered[key])
        if len(kinds) == 1 and not entered[key].elements:
            first_of.setdefault(tuple(devices_in(next(iter(kinds)))), key)
    return [_own_rate(history, devices, key) for devices, key in first_of.items()]


def _own_rate(history: FailureHistory, devices: tuple[str, ...], key: str) -> OwnRate:
    plant = history.assessment.plant
    alike, not_shown = history.alike(key)
    observed = [name for name in alike if failure_counts.days_observed(plant.groups[name], history.day) > 0]
    hours = sum(
        len(plant.groups[name].channels) * failure_counts.days_observed(plant.groups[name], history.day) * HOURS_PER_DAY
        for name in observed
    )
    failed = sum(_failed_since(history, name) for name in observed)
    return OwnRate(
        devices=devices,
        assumed=per_hour(sum(plant.devices[name].lambda_du_fit for name in devices)),
        channels=sum(len(plant.groups[name].channels) for name in observed),
        groups=tuple(observed),
        unobserved=tuple(name for name in alike if name not in observed),
        not_shown=not_shown,
        observed=observed_rate(failures=failed, hours=hours) if hours else None,
    )


def _failed_since(history: FailureHistory, key: str) -> int:
    """Channels of a group that failed since the observation began."""
    start = date.fromisoformat(history.assessment.plant.groups[key].observed_since)
    counts = failure_counts.failure_counts(history, key)
    return sum(failure.failed for failure in counts.counted if start <= failure.on <= history.day)
