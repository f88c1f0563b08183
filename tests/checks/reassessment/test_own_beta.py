"""Beta from the plant's own failures: pooling, what the reader may see, prior, testing, and its insensitivity to order."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.access.roles import MEMBER, Person
from checks.reassessment import failure_records
from checks.reassessment.failure_counts import FailureHistory
from checks.reassessment.own_beta import OwnBeta, own_beta, own_betas
from checks.visibility import redaction
from tests.checks.reassessment.given import demo, failure
from tests.checks.reassessment.own import failed, history, observed
from tests.checks.team import LEADS, Team

BOTH = ("ESV-501A", "ESV-501B")


def _of(estimate: OwnBeta | None) -> OwnBeta:
    assert estimate is not None
    return estimate


def test_groups_of_the_same_devices_are_counted_together_and_named() -> None:
    """The single valves esv-701 and esv-702 have the same devices, but one channel shares nothing."""
    estimate = _of(own_beta(history([failed("esv-501", *BOTH)]), "esv-301"))
    assert estimate.pooled == ("esv-301", "esv-501")
    assert (estimate.events, estimate.channels, estimate.pair) == (1, 2, (0.0, 1.0))
    assert estimate.not_shown == 0


def test_three_channels_are_mapped_to_a_pair() -> None:
    """One of three failed: two of the three pairs hold it. Two of three: one pair holds both, two hold one."""
    one, two = failed("pt-301", "PT-301A"), failed("pt-501", "PT-501A", "PT-501B")
    assert _of(own_beta(history([one]), "pt-301")).pair == pytest.approx((2 / 3, 0.0))
    assert _of(own_beta(history([two]), "pt-301")).pair == pytest.approx((2 / 3, 1 / 3))


def test_without_failures_the_prior_is_all_there_is_and_is_said_to_carry() -> None:
    estimate = _of(own_beta(history(), "esv-301"))
    betas = demo_betas()
    assert estimate.in_use == betas
    assert estimate.prior_carries
    assert estimate.beta is not None
    assert estimate.beta.standing(estimate.in_use) == "within"


def demo_betas() -> float:
    betas = history().assessment.group("esv-301").betas
    assert betas is not None
    return betas.beta_int


def test_the_estimate_never_changes_the_beta_in_use() -> None:
    before = demo_betas()
    many = history([failed("esv-501", *BOTH)] * 30)
    estimate = _of(own_beta(many, "esv-501"))
    assert estimate.beta is not None
    assert estimate.beta.standing(estimate.in_use) == "below"
    after = many.assessment.group("esv-301").betas
    assert after is not None
    assert after.beta_int == before


def test_the_order_of_the_records_does_not_matter() -> None:
    records = [
        failed("pt-301", "PT-301A"),
        failed("pt-501", "PT-501A", "PT-501B", shared_weight=0.3),
        failed("pt-401", "PT-401A", "PT-401B"),
    ]
    found = {_of(own_beta(history(order), "pt-301")).beta for order in permutations(records)}
    assert len(found) == 1


@given(st.integers(0, 12), st.integers(1, 12))
def test_more_independent_failures_never_raise_beta(shared: int, apart: int) -> None:
    few = [failed("esv-501", *BOTH)] * shared
    estimates = [
        _of(own_beta(history([*few, *[failed("esv-501", "ESV-501A")] * count]), "esv-501")).beta for count in (0, apart)
    ]
    assert estimates[0] is not None
    assert estimates[1] is not None
    assert estimates[1].p50 < estimates[0].p50


def test_a_weight_of_zero_is_two_independent_failures_and_one_is_the_event() -> None:
    def beta(**fields: float) -> object:
        return _of(own_beta(history([failed("esv-501", *BOTH, **fields)]), "esv-501")).beta

    assert beta(shared_weight=1.0) == beta()
    apart = history([failed("esv-501", "ESV-501A"), failed("esv-501", "ESV-501B")])
    assert beta(shared_weight=0.0) == _of(own_beta(apart, "esv-501")).beta


def test_testing_in_turn_counts_only_where_every_event_was_found_so() -> None:
    in_turn = failed("esv-501", *BOTH, staggered_tests=True)
    together = failed("esv-501", *BOTH)
    staggered = _of(own_beta(history([in_turn]), "esv-501"))
    mixed = _of(own_beta(history([in_turn, together]), "esv-501"))
    assert (staggered.staggered, mixed.staggered) == (True, False)
    plain = _of(own_beta(history([together]), "esv-501"))
    assert staggered.jeffreys.p50 < plain.jeffreys.p50


def test_a_group_without_redundancy_has_no_beta() -> None:
    assert own_beta(history(), "xv-401") is None
    assert [estimate.group for estimate in own_betas(history(), ("xv-401", "esv-301"))] == ["esv-301"]


def test_groups_of_other_teams_are_not_counted_and_their_number_is_said() -> None:
    records = [failed("esv-501", *BOTH)]
    estimate = _of(own_beta(history(records, groups=("esv-301",)), "esv-301"))
    assert (estimate.events, estimate.not_shown, estimate.pooled) == (0, 1, ("esv-301",))


def test_a_member_of_one_team_learns_nothing_of_the_failures_of_another(team: Team) -> None:
    """From the redacted state: S50 has its own level transmitters, whose failure S30 does not see."""
    lost = failure(groups=("lt-501",), channels=("channel 1", "channel 2"), cause_topics=frozenset())
    before = team.now()
    failure_records.record_failure(team.live, LEADS, lost)
    person = Person("TM-1", frozenset({MEMBER}), systems=frozenset({"S30"}))
    seen = FailureHistory.of(redaction.seen(team.now(), person))
    assert seen.failures == ()
    assert "lt-501" not in seen.groups
    unchanged = FailureHistory.of(redaction.seen(before, person))
    assert own_betas(seen, seen.groups) == own_betas(unchanged, unchanged.groups)
    assert [estimate.events for estimate in own_betas(FailureHistory.of(team.now()), ("lt-501",))] == [1]


def test_the_period_is_that_of_the_longest_observation_and_unknown_if_one_has_none() -> None:
    assert _of(own_beta(history(plant=observed()), "esv-301")).years == pytest.approx(4.0, abs=0.02)
    assert _of(own_beta(history(plant=observed("2022-06-01", "esv-301")), "esv-301")).years is None
    assert demo().groups["xv-401"].observed_since == ""
