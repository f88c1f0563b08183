"""Plants and groups on the timeline: their four cases against closed forms and a Markov chain, and functions averaged together."""

from __future__ import annotations

from math import exp
from typing import Any

import numpy as np
import pytest
from scipy.linalg import expm

from checks.assessment import over_time
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import method, remarks
from checks.plantfile.plant import Plant
from checks.timeline import timed_groups
from scoring.timeline.group import Device, Error, Group, InTest, Sought
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.checks.given import answer, plain_2
from tests.scoring.timeline.markov import Chain
from tests.scoring.timeline.test_steady_rhythm import PRINTED, SIMULTANEOUS, STAGGERED

YEAR = 8760.0
MISSION = 3 * YEAR
AGREED = 1e-9


def _plant(groups: dict[str, Any], entries: list[Any], *, mission: float = MISSION, **function: Any) -> Plant:
    """A plant on the timeline with one function SIF of these groups; ESV fails with 1000 FIT, unless a group says otherwise."""
    raw = plain_2()
    raw["answers"], raw["zones"], raw["conduits"], raw["systems"] = [], {}, {}, {}
    raw["conventions"] |= {"mission_h": mission, "redundancy_method": "timeline"}
    raw["devices"]["ESV"] = {"lambda_du_fit": 1000}
    raw["devices"]["PT"] = {"lambda_du_fit": 5000, "lambda_dd_fit": 1000}
    common = {"part": "final", "programmable": False, "mttr_h": 0, "mrt_h": 0}
    raw["groups"] = {key: {**common, **group} for key, group in groups.items()}
    raw["functions"] = {"SIF": {"demand": "low", "target_sil": 1, **function, "groups": entries}}
    return Plant.model_validate(raw)


def _group(voting: str, device: str = "ESV", beta: float = 0.05, **more: Any) -> dict[str, Any]:
    n = int(voting[3])
    given: dict[str, Any] = {"voting": voting, "channels": [[device]] * n, **more}
    if "tests" not in given:
        given.setdefault("proof_test", {"interval_h": 8760, "coverage": 1.0})
    if Voting(int(voting[0]), n).redundant:
        given.setdefault("stated_beta", {"beta": beta, "beta_d": beta / 2.0, "of": "group", "source": "site"})
    return given


ANNEX_B = {"conventions": {"redundancy_method": "annex-b"}}
TOGETHER = {
    "1oo1": (1, 1), "1oo2": (1, 2), "2oo3": (2, 3), "1oo3": (1, 3), "2oo4": (2, 4),
}  # fmt: skip


@pytest.mark.parametrize("voting", TOGETHER)
def test_channels_tested_on_one_day_have_the_published_means_without_common_cause(voting: str) -> None:
    """Values of a steady rhythm, derived outside the project (see ``test_steady_rhythm``)."""
    cases = Assessment(_plant({"esv": _group(voting)}, ["esv"])).function("SIF").cases
    assert cases.ideal == pytest.approx(SIMULTANEOUS[TOGETHER[voting]], rel=PRINTED)
    assert cases.single == pytest.approx(SIMULTANEOUS[1, 1], rel=PRINTED)


@pytest.mark.parametrize("voting", ["1oo2", "2oo3", "1oo3", "2oo4"])
def test_channels_tested_evenly_spread_have_theirs(voting: str) -> None:
    """The first interval, in which not every channel was tested yet, is taken off."""
    test = {"interval_h": 8760, "coverage": 1.0, "staggered": True}
    whole, first = (
        Assessment(_plant({"esv": _group(voting, proof_test=test)}, ["esv"], mission=years * YEAR))
        .function("SIF")
        .cases.ideal
        for years in (100, 1)
    )
    assert (whole * 100 - first) / 99 == pytest.approx(STAGGERED[TOGETHER[voting]], rel=PRINTED)


def _device(*sought: tuple[float, float, float]) -> tuple[Device]:
    return (Device(5e-6, 1e-6, tuple(Sought(share, Rhythm(*rhythm)) for share, *rhythm in sought)),)


OFFSETS = (0.0, 2922.0, 5844.0)
CHAINS: dict[str, tuple[dict[str, Any], Group]] = {
    "1oo2 with all": (
        _group("1oo2", "PT", 0.1, mrt_h=72, mttr_h=24),
        Group(Voting(1, 2), (_device((1.0, YEAR, 0.0)),) * 2, 72.0, 24.0, 0.1, 0.05),
    ),
    "2oo3 staggered, others checked": (
        _group(
            "2oo3", "PT", 0.08, mrt_h=48, mttr_h=24, check_others=True,
            tests=[{"interval_h": YEAR, "coverage": 1.0, "offsets_h": list(OFFSETS)}],
        ),
        Group(Voting(2, 3), tuple(_device((1.0, YEAR, each)) for each in OFFSETS), 48.0, 24.0, 0.08, 0.04, check_others=True),
    ),
    "1oo2, one channel in test after the other, and test errors": (
        _group(
            "1oo2", "PT", 0.1, mrt_h=48, mttr_h=24,
            tests=[{"interval_h": YEAR, "coverage": 1.0, "duration_h": 600, "bypass": "channel", "error": 0.001}],
        ),
        Group(
            Voting(1, 2), (_device((1.0, YEAR, 0.0)),) * 2, 48.0, 24.0, 0.1, 0.05,
            in_test=(InTest(Rhythm(YEAR), 600.0, 0), InTest(Rhythm(YEAR), 600.0, 1, 600.0)),
            errors=(Error((Rhythm(YEAR),), 0.001),),
        ),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CHAINS)
def test_a_group_scored_through_the_assessment_is_the_chain(name: str) -> None:
    described, group = CHAINS[name]
    down, failing = Chain(group).means(MISSION, expm, 30.0 if group.errors else 6.0)
    result = Assessment(_plant({"pt": described}, ["pt"])).group("pt")
    assert result.pfd.scored == pytest.approx(down, rel=AGREED)
    for measured in (result.low, result.high):
        assert measured is not None
        assert measured.scored is not None
        assert measured.scored.total + measured.terms.total == pytest.approx(measured.cases.scored, rel=1e-12)
        assert min(float(measured.scored.independent), float(measured.scored.shared)) > 0.0
    if not group.errors:  # the chain draws an error at a test, the rate is spread over the time between two tests
        high = Assessment(_plant({"pt": described}, ["pt"], demand="high")).function("SIF").cases.scored
        assert high == pytest.approx(failing, rel=AGREED)


def test_two_groups_tested_on_one_day_are_averaged_together() -> None:
    """1 - exp(-(l1 + l2) t) over one interval: 1 - (1 - exp(-x)) / x (closed form, derived); PFH: the rate times its complement."""
    groups = {"a": _group("1oo1"), "b": _group("1oo1", "SOV")}
    plant = _plant(groups, ["a", "b"])
    plant = plant.model_copy(
        update={"devices": plant.devices | {"SOV": plant.devices["SOV"].model_copy(update={"lambda_dd_fit": 0.0})}}
    )
    x = (1000e-9 + 300e-9) * YEAR
    cases = Assessment(plant).function("SIF").cases
    expected = 1.0 - (1.0 - exp(-x)) / x
    assert (cases.single, cases.ideal, cases.scored, cases.adjusted) == pytest.approx([expected] * 4, rel=AGREED)
    functions = {"SIF": plant.functions["SIF"].model_copy(update={"demand": "high"})}
    high = Assessment(plant.model_copy(update={"functions": functions})).function("SIF")
    assert high.cases.scored == pytest.approx(1300e-9 * (1.0 - expected), rel=AGREED)
    assert sum(high.share_of("scored").values()) == pytest.approx(1.0, rel=0.01)


def test_alternatives_are_exact_where_annex_b_multiplies_averages() -> None:
    """Two single channels of which any is enough are 1oo2; what they share is added to it."""
    groups = {"a": _group("1oo1"), "b": _group("1oo1")}
    apart, together = (
        Assessment(_plant(groups, [{"any": ["a", "b"], "stated_beta": {"beta": beta, "source": "site"}}]))
        for beta in (0.0, 0.02)
    )
    none = apart.function("SIF")
    assert none.cases.scored == pytest.approx(SIMULTANEOUS[1, 2], rel=PRINTED)
    assert none.cases.single == pytest.approx(SIMULTANEOUS[1, 1], rel=PRINTED)
    some = together.function("SIF")
    shared = 0.02 * SIMULTANEOUS[1, 1]
    assert some.cases.ideal == pytest.approx(none.cases.ideal, rel=AGREED)
    assert some.cases.scored == pytest.approx(none.cases.scored + shared - shared * none.cases.scored, rel=PRINTED)
    (entry,) = some.entries
    assert entry.measured.scored is not None
    assert entry.measured.scored.total == pytest.approx(some.cases.scored, rel=AGREED)


@pytest.mark.parametrize("case", ["single", "ideal", "scored", "adjusted"])
def test_a_group_by_annex_b_enters_a_function_over_time_as_a_constant(case: str) -> None:
    plant = _plant({"a": _group("1oo2"), "b": {**_group("1oo2", "PT"), **ANNEX_B}}, ["a", "b"])
    assessment = Assessment(plant)
    constant = getattr(assessment.group("b").pfd, case)
    assert constant == getattr(_by_annex_b(plant).group("b").pfd, case)
    varying = getattr(assessment.group("a").pfd, case)
    result = getattr(assessment.function("SIF").cases, case)
    assert result == pytest.approx(1.0 - (1.0 - constant) * (1.0 - varying), rel=AGREED)
    assert "SIF: on the timeline, with the averages of b as constants" in remarks(plant)
    assert "edition 1, but IEC 61508-6:2010 Annex B, generalised to MooN, edition 2 for b" in method(plant)


def _by_annex_b(plant: Plant) -> Assessment:
    conventions = plant.conventions.model_copy(update={"redundancy_method": "annex-b"})
    return Assessment(plant.model_copy(update={"conventions": conventions}))


def test_a_function_without_a_group_on_the_timeline_is_the_sum() -> None:
    groups = {key: {**_group("1oo2"), **ANNEX_B} for key in "ab"}
    plant = _plant(groups, ["a", "b"])
    assert Assessment(plant).function("SIF").cases == _by_annex_b(plant).function("SIF").cases


def test_a_single_channel_has_its_own_time_in_test() -> None:
    """A test of one of two channels leaves the group in service; of the only channel it does not."""
    test = {"interval_h": YEAR, "coverage": 1.0, "duration_h": 87.6, "bypass": "channel"}
    result = Assessment(_plant({"pt": _group("1oo2", "PT", tests=[test])}, ["pt"], mission=10 * YEAR)).group("pt")
    assert result.low is not None
    assert result.low.terms.time_in_test == 0.0
    without = Assessment(_plant({"pt": _group("1oo2", "PT")}, ["pt"], mission=10 * YEAR)).group("pt")
    assert result.pfd.single - without.pfd.single == pytest.approx(0.9 * 0.01, rel=0.05)  # none before the first test


def test_a_single_channel_stands_for_unlike_ones_by_the_geometric_mean() -> None:
    unlike = Assessment(_plant({"a": _group("1oo2", channels=[["ESV"], ["PT"]])}, ["a"])).group("a")
    plant = _plant({"a": _group("1oo1")}, ["a"])
    rates = {"lambda_du_fit": float(np.sqrt(1000.0 * 5000.0)), "lambda_dd_fit": 0.0}
    mean = plant.model_copy(update={"devices": {"ESV": plant.devices["ESV"].model_copy(update=rates)}})
    assert unlike.pfd.single == pytest.approx(Assessment(mean).group("a").pfd.single, rel=AGREED)


def test_without_a_mission_time_fifteen_years_are_taken_and_that_is_said() -> None:
    plant = _plant({"a": _group("1oo1")}, ["a"])
    silent = plant.model_copy(update={"conventions": plant.conventions.model_copy(update={"mission_h": None})})
    assert "no mission_h is given: the timeline takes 15 years (house rule)" in remarks(silent)
    assert not [remark for remark in remarks(plant) if "mission_h" in remark]
    assert timed_groups.mission(silent) == 15 * YEAR


def test_an_answer_that_changes_no_beta_keeps_the_results(monkeypatch: pytest.MonkeyPatch) -> None:
    """They are found again, also after another answer and back."""
    raw = plain_2()
    raw["conventions"]["redundancy_method"] = "timeline"
    assessment = Assessment(Plant.model_validate(raw))
    before = assessment.function("SIF-2")
    met = answer("A05", "zone:sis", evidence="seen")
    assessment.with_answers([met]).function("SIF-2")
    monkeypatch.setattr(over_time, "_Averaged", None)
    monkeypatch.setattr("scoring.redundancy.group_over_time.means", None)
    noted = assessment.with_answers([answer("Z01", "zone:sis", "partly", evidence="walk-down")])
    assert noted.function("SIF-2").cases == before.cases
    assert noted.group("ft").answers["Z01"].evidence == "walk-down"
    assert noted.function("SIF-2").groups[0].answers["Z01"].evidence == "walk-down"
    assert assessment.with_answers([met]).without_answer("A05", "zone:sis").function("SIF-2").cases == before.cases


def test_results_forgotten_by_another_thread_meanwhile_are_still_returned() -> None:
    kept = over_time.Kept()

    class Meanwhile(dict[object, object]):
        """Another thread forgets all as soon as something is kept."""

        def __setitem__(self, key: object, value: object) -> None:
            super().__setitem__(key, value)
            kept._known = {}  # noqa: SLF001  (what another thread would do)

    kept._known = Meanwhile()  # noqa: SLF001  (to meet the other thread at its worst moment)
    assert kept.get("key", lambda: 7) == 7
