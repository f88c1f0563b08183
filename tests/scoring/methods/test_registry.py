"""Registry of methods by id and edition; a new one is one module and one line."""

from __future__ import annotations

from random import Random
from typing import ClassVar

import pytest

from scoring.equipment import Channel, Rates, Split, Upkeep, VotedGroup
from scoring.method import About, Measure
from scoring.methods import registry
from scoring.methods.registry import (
    ASKED_BETA,
    BETA,
    EXPOSURE,
    MOON_FACTORS,
    PUBLISHED_BETA,
    REDUNDANCY,
    Family,
    UnknownMethod,
)
from scoring.redundancy.annex_b_edition_2 import AnnexB2
from scoring.units import Fractions
from scoring.voting import Voting

FAMILIES = (BETA, ASKED_BETA, PUBLISHED_BETA, MOON_FACTORS, REDUNDANCY, EXPOSURE)


def test_every_method_says_what_it_is_and_how_well_that_is_known() -> None:
    abouts = [method.about for family in FAMILIES for method in family.editions().values()]
    assert len(abouts) >= 16
    for about in abouts:
        assert about.label, about
        assert about.source, about
        assert about.valid, about
        assert about.formula, about
        assert about.edition >= 1, about


def test_an_old_edition_stays_callable_beside_the_new_one() -> None:
    assert [REDUNDANCY.get("annex-b", edition).about.name for edition in (1, 2)] == [
        "annex-b edition 1",
        "annex-b edition 2",
    ]


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.kind)
def test_what_is_unknown_was_written_by_a_newer_release(family: Family[AnnexB2]) -> None:
    with pytest.raises(UnknownMethod, match="written by a newer release"):
        family.get("annex-b", 99)


class Histories:
    """A sampled method: failures of two like channels drawn over one test interval."""

    about: ClassVar[About] = About("histories", 1, "drawn histories", "test", "house rule", "test", ("drawn",))
    samples: ClassVar[int] = 20_000

    def result(self, measure: Measure, group: VotedGroup, *, beta: Fractions, beta_d: Fractions) -> Split:  # noqa: ARG002
        """Mean fraction of the interval in which a 1oo2 group without common cause is down."""
        draw, interval = Random(group.seed), group.channels[0].upkeep.longest  # noqa: S311  (a simulation)
        down = 0.0
        for _ in range(self.samples):
            last = max(draw.expovariate(channel.rates.du) for channel in group.channels)
            down += max(0.0, interval - last)
        return Split(down / (self.samples * interval), 0.0)


def _pair(seed: int) -> VotedGroup:
    year = Upkeep.proof_test(interval=8760.0, coverage=1.0, full_interval=8760.0, mrt=0.0, mttr=0.0)
    return VotedGroup(Voting(1, 2), (Channel(Rates(4e-5, 0.0), year),) * 2, acts_on_detected=False, seed=seed)


def test_a_sampled_method_takes_its_seed_as_input_and_gives_the_same_result_again() -> None:
    first, again, other = (Histories().result("pfd", _pair(seed), beta=0.0, beta_d=0.0) for seed in (1, 1, 2))
    assert first == again != other
    # (lambda T)^2 / 3 runs high by a quarter at lambda T = 0.35; 20,000 histories scatter by some five per cent.
    series = AnnexB2().result("pfd", _pair(1), beta=0.0, beta_d=0.0)
    assert float(first.independent) == pytest.approx(float(series.independent), rel=0.35)


def test_a_family_holds_a_further_method_beside_the_others() -> None:
    family = registry.Family("redundancy method", AnnexB2(), Histories())
    assert family.ids() == ("annex-b", "histories")
    assert family.get("histories", 1).about.label == "drawn histories"
