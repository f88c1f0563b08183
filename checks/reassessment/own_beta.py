"""Beta of a group from the plant's own failures: an opinion beside the beta in use, which it never replaces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from checks.reassessment import failure_counts
from checks.reassessment.failure_counts import FailureCounts, FailureHistory
from scoring.field_data import alpha_factors, impact_vectors, pair_beta
from scoring.field_data.alpha_factors import AlphaFactors
from scoring.field_data.quantiles import Quantiles
from scoring.units import HOURS_PER_DAY, HOURS_PER_YEAR

PAIR = 2


@dataclass(frozen=True, slots=True)
class OwnBeta:
    """Beta of a pair of channels of one group, estimated from recorded failures.

    ``in_use`` is the beta of a pair behind the result, ``specified`` where no questionnaire gives it. ``counts`` are those of the
    group and of the groups pooled with it, ``not_shown`` the number of like groups whose failures the reader may not see.
    ``pair`` are events that affect one and both of two channels. ``prior`` is centred on the beta in use and ``beta`` follows from
    it; both are None where that beta is 0 or 1. ``jeffreys`` follows from Jeffreys' prior. ``staggered``: tested in turn. ``years``
    is the longest observation of these groups; None where one has no start.
    """

    group: str
    in_use: float
    specified: bool
    counts: tuple[FailureCounts, ...]
    not_shown: int
    pair: tuple[float, ...]
    staggered: bool
    prior: AlphaFactors | None
    beta: Quantiles | None
    jeffreys: Quantiles
    years: float | None

    @property
    def events(self) -> int:
        """Number of failure events that count."""
        return sum(len(counts.counted) for counts in self.counts)

    @property
    def channels(self) -> int:
        """Number of channels that failed in them."""
        return sum(failure.failed for counts in self.counts for failure in counts.counted)

    @property
    def pooled(self) -> tuple[str, ...]:
        """Groups whose failures are counted together, the group itself first."""
        return tuple(counts.group for counts in self.counts)

    @property
    def prior_carries(self) -> bool:
        """Whether the prior is worth more events than the record: then the estimate says little of this plant."""
        return self.prior is not None and self.prior.strength > sum(self.pair)


def own_betas(history: FailureHistory, groups: Iterable[str]) -> list[OwnBeta]:
    """The estimate for each redundant group of these, in their order; none for a group without a beta."""
    estimates = (own_beta(history, key) for key in groups)
    return [estimate for estimate in estimates if estimate is not None]


def own_beta(history: FailureHistory, key: str) -> OwnBeta | None:
    """The estimate for one group from its failures and those of groups with the same devices; None without a beta."""
    betas, group = history.assessment.group(key).betas, history.assessment.plant.groups[key]
    if betas is None or len(group.channels) < PAIR:
        return None
    alike, not_shown = history.alike(key, least=PAIR)
    counts = tuple(failure_counts.failure_counts(history, other) for other in alike)
    staggered, pair = _staggered(history, counts), _of_a_pair(counts)
    prior = pair_beta.centred_prior(betas.beta_int, staggered=staggered) if 0.0 < betas.beta_int < 1.0 else None
    jeffreys = alpha_factors.jeffreys(PAIR).with_counts(pair)
    return OwnBeta(
        group=key,
        in_use=betas.beta_int,
        specified=group.stated_beta is not None,
        counts=counts,
        not_shown=not_shown,
        pair=pair,
        staggered=staggered,
        prior=prior,
        beta=None if prior is None else pair_beta.beta_quantiles(prior.with_counts(pair), staggered=staggered),
        jeffreys=pair_beta.beta_quantiles(jeffreys, staggered=staggered),
        years=_years(history, alike),
    )


def _years(history: FailureHistory, groups: Iterable[str]) -> float | None:
    days = [failure_counts.days_observed(history.assessment.plant.groups[key], history.day) for key in groups]
    return max(days) * HOURS_PER_DAY / HOURS_PER_YEAR if all(days) else None


def _of_a_pair(counts: Iterable[FailureCounts]) -> tuple[float, ...]:
    """Events mapped to two channels; one of a single channel that stood alone says nothing of a pair."""
    events = [failure.impact for group in counts for failure in group.counted if failure.size >= PAIR]
    # Sorted, so that rounding does not depend on the order of the records.
    return impact_vectors.total((impact_vectors.mapped_down(event, size=PAIR) for event in sorted(events)), size=PAIR)


def _staggered(history: FailureHistory, counts: tuple[FailureCounts, ...]) -> bool:
    """Whether every event was found in channels tested in turn; without events, whether the group itself is tested so.

    Where the testing differs, the form for tests together is used, which gives the higher beta (house rule).
    """
    groups = history.assessment.plant.groups
    in_turn = {of.group: groups[of.group].tested_in_turn for of in counts}
    said = [
        in_turn[of.group] if failure.staggered is None else failure.staggered for of in counts for failure in of.counted
    ]
    return all(said) if said else in_turn[counts[0].group]
