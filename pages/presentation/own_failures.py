"""What the plant's own failures say about beta and failure rates, in words: the same on the screen and in the report."""

from __future__ import annotations

from collections.abc import Iterable

from checks.reassessment.failure_counts import FailureCounts, FailureHistory, failure_counts
from checks.reassessment.own_beta import OwnBeta
from checks.reassessment.own_rates import OwnRate
from checks.text.number_format import NONE, percent, significant
from pages.presentation.wording import counted
from scoring.field_data.quantiles import Quantiles
from scoring.units import FIT_PER_PER_HOUR, PerHour

OPINION = (
    "An opinion beside the calculation: the beta and the rates in use carry every result, unless somebody enters a specified beta "
    "or another rate with its source."
)
COUNTED = (
    "Counted are channels found failed or degraded by a proof test, a real demand or an inspection. A record with several "
    "channels counts as a common-cause event unless its verdict is against it; a stated weight counts it in part (house rules)."
)
PRIOR = (
    "Prior (house rule): half a common-cause event, centred on the beta in use. Jeffreys' prior, which knows of no questionnaire, "
    "stands beside it."
)
Row = dict[str, str]


def span(quantiles: Quantiles) -> str:
    """A 90 % interval of beta with its median."""
    return f"{percent(quantiles.p5)} to {percent(quantiles.p95)}, median {percent(quantiles.p50)}"


def beta_row(estimate: OwnBeta) -> Row:
    """Counts, interval and what follows, for one group."""
    return {
        "Group": estimate.group,
        "Counted together": ", ".join(estimate.pooled) + _not_shown(estimate.not_shown),
        "Failure events": _events(estimate.counts),
        "Beta in use, of a pair": f"{percent(estimate.in_use)} ({'specified' if estimate.specified else 'questionnaire'})",
        "From failures, 90 % interval": NONE if estimate.beta is None else span(estimate.beta),
        "With Jeffreys' prior": span(estimate.jeffreys),
        "Reading": beta_sentence(estimate),
    }


def _events(counts: Iterable[FailureCounts]) -> str:
    """Events by the number of channels affected."""
    sums: dict[int, float] = {}
    for of in counts:
        for number, count in of.by_multiplicity.items():
            sums[number] = sums.get(number, 0.0) + count
    return "; ".join(f"{counted(number, 'channel')}: {count:.3g}" for number, count in sorted(sums.items())) or "none"


def _not_shown(count: int) -> str:
    return (
        f" (and {counted(count, 'group')} of other teams, whose failures are not shown to you and not counted)"
        if count
        else ""
    )


def beta_sentence(estimate: OwnBeta) -> str:
    """What the failures say about the beta in use, and how much of it the prior says; for a group with failures."""
    period = "the period is not stated" if estimate.years is None else f"in {significant(estimate.years)} years"
    record = (
        f"{counted(estimate.channels, 'failed channel')} in {counted(estimate.events, 'event')}, "
        f"{counted(len(estimate.pooled), 'group')}, {period}"
    )
    if estimate.beta is None or estimate.prior is None:
        return f"{record}. A beta of {percent(estimate.in_use)} is no prior; with Jeffreys' prior: {span(estimate.jeffreys)}."
    return (
        f"{record}: the interval spans {percent(estimate.beta.p5)} to {percent(estimate.beta.p95)}. {_weight(estimate)} "
        f"The beta in use lies {_beside(estimate.beta, estimate.in_use)}. {_testing(estimate)}"
    )


def _weight(estimate: OwnBeta) -> str:
    """Whether the record or the prior carries the interval."""
    worth = "" if estimate.prior is None else significant(estimate.prior.strength)
    if estimate.prior_carries:
        return f"Too few data: the prior, worth {worth} events, carries it."
    return f"The record outweighs the prior, which is worth {worth} events."


def _beside(quantiles: Quantiles, value: float) -> str:
    return {
        "within": "within the interval",
        "below": "below the interval: more common cause was found than the result has",
        "above": "above the interval: less common cause was found than the result has",
    }[quantiles.standing(value)]


def _testing(estimate: OwnBeta) -> str:
    return f"Channels tested {'in turn' if estimate.staggered else 'together'}."


def rate_row(rate: OwnRate) -> Row:
    """Rate observed and assumed, of channels with the same devices."""
    observed = rate.observed
    return {
        "Channels": " + ".join(rate.devices),
        "Observed groups": (", ".join(rate.groups) or NONE) + _not_shown(rate.not_shown),
        "Channel-years": significant(rate.channel_years) if observed else NONE,
        "Failed": str(observed.failures) if observed else NONE,
        "Observed [FIT]": fit(observed.estimate) if observed else NONE,
        "90 % interval [FIT]": f"{fit(observed.low)} to {fit(observed.high)}" if observed else NONE,
        "Jeffreys, 90 % [FIT]": f"{fit(observed.jeffreys.p5)} to {fit(observed.jeffreys.p95)}" if observed else NONE,
        "Assumed lambda DU [FIT]": fit(rate.assumed),
        "Reading": rate_sentence(rate),
    }


def fit(rate: PerHour) -> str:
    """A rate in FIT."""
    return significant(rate * FIT_PER_PER_HOUR)


def rate_sentence(rate: OwnRate) -> str:
    """Where the assumed rate lies beside the observed one; empty without one."""
    return {
        "within": "The assumed rate lies within the interval.",
        "below": "The assumed rate lies below the interval: more failures were found than assumed.",
        "above": "The assumed rate lies above the interval: fewer failures were found than assumed.",
        None: "",
    }[rate.standing]


def unobserved(rates: Iterable[OwnRate]) -> str:
    """Which groups lack what a rate needs, and what to do; empty where none does."""
    groups = list(dict.fromkeys(key for rate in rates for key in rate.unobserved))
    if not groups:
        return ""
    return (
        f"Without a start of observation, so in no rate: {', '.join(groups)}. Enter “Failures recorded since” of these groups under "
        "Set up: the day from which on every failure found in them is on record. It is plant data, so a signed revision is "
        "invalidated by it."
    )


def without_failures(estimates: Iterable[OwnBeta]) -> str:
    """Groups for which no failure counts; empty where none is."""
    groups = [estimate.group for estimate in estimates if not estimate.events]
    return (
        f"No failure counts for {', '.join(groups)}: there is nothing to set against the beta in use." if groups else ""
    )


def left_out(history: FailureHistory, groups: Iterable[str]) -> list[Row]:
    """Records of these groups that do not count, with the reason."""
    return [
        {
            "Found on": entry.on.isoformat(),
            "Reference": entry.reference,
            "Group": key,
            "Not counted, because": entry.reason,
        }
        for key in groups
        for entry in failure_counts(history, key).left_out
    ]


def says_something(history: FailureHistory, groups: Iterable[str]) -> bool:
    """Whether a failure of these groups is on record, or one of them has been observed."""
    keys = set(groups)
    observed = any(history.assessment.plant.groups[key].observed_since for key in keys)
    return observed or any(keys.intersection(failure.body.groups) for failure in history.failures)
