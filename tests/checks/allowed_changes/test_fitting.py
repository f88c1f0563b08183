"""What may be allowed to change in a group, what is refused and why, and which changes fit together."""

from __future__ import annotations

from typing import Any

import pytest

from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange, changed_plant, in_words
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.faults import Refused

GROUP: dict[str, Any] = {
    "part": "final",
    "voting": "1oo2",
    "channels": [["V"], ["V"]],
    "proof_test": {"interval_h": 8760, "coverage": 0.9, "full_interval_h": 87600},
    "mttr_h": 24,
    "mrt_h": 24,
}
TESTS = [
    {"name": "partial stroke", "interval_h": 2190, "coverage": 0.6},
    {"name": "full stroke", "interval_h": 8760, "coverage": 0.9},
    {"interval_h": 43800, "coverage": 1},
]


def _plant() -> Plant:
    """Groups with a proof test and an overhaul, with a full proof test, with three tests, with a stated result."""
    tested = {name: entry for name, entry in GROUP.items() if name != "proof_test"}
    raw = {
        "format": 2,
        "plant": {"name": "Small"},
        "conventions": {},
        "devices": {"V": {"lambda_du_fit": 800}},
        "groups": {
            "v1": GROUP,
            "v2": {**GROUP, "voting": "2oo2", "proof_test": {"interval_h": 8760, "coverage": 1}},
            "v3": {**tested, "tests": TESTS, "voting": "1oo3", "channels": [["V"]] * 3},
            "ls": {"part": "logic", "stated_result": {"pfd": 1e-4, "source": "maker"}},
        },
        "functions": {
            "F1": {"demand": "low", "target_rrf": 100, "groups": ["v1", "v2", {"group": "v3", "voting": "2oo3"}, "ls"]}
        },
    }
    plant, faults, _ = plant_file.from_data(raw)
    assert plant is not None, faults
    return plant


PLANT = _plant()


def _read(*texts: str) -> GroupChange:
    return fitting.read(PLANT, dict(zip(("group", "change", "test", "to"), texts, strict=True)))


@pytest.mark.parametrize(
    ("texts", "change"),
    [
        (("v1", "interval", "", "4380"), GroupChange("v1", "interval", "", "4380")),
        (("v1", "Interval", "proof test", "4380.0"), GroupChange("v1", "interval", "", "4380")),
        (("v1", "interval", "Overhaul", "43800"), GroupChange("v1", "interval", "overhaul", "43800")),
        (("v1", "coverage", "", "0.95"), GroupChange("v1", "coverage", "", "0.95")),
        (("v2", "voting", "", "1oo2"), GroupChange("v2", "voting", "", "1oo2")),
        (("v3", "interval", "partial stroke", "730"), GroupChange("v3", "interval", "partial stroke", "730")),
        (("v3", "interval", "1", "730"), GroupChange("v3", "interval", "partial stroke", "730")),
        (("v3", "interval", "3", "87600"), GroupChange("v3", "interval", "3", "87600")),
        (("v3", "coverage", "Full Stroke", "0.95"), GroupChange("v3", "coverage", "full stroke", "0.95")),
    ],
)
def test_a_change_is_read_with_the_test_as_it_is_named(texts: tuple[str, ...], change: GroupChange) -> None:
    assert _read(*texts) == change


@pytest.mark.parametrize(
    ("texts", "fault"),
    [
        (("v9", "interval", "", "4380"), "group: v9 is no group; one of v1, v2, v3, ls"),
        (("", "", "", ""), "change: (empty); one of interval, coverage, voting"),
        (("v1", "beta", "", "0.01"), "change: beta; one of interval, coverage, voting"),
        (("ls", "voting", "", "1oo2"), "group: ls has a stated result"),
        (("v1", "interval", "", "10"), "to: 10; hours, 24 to 438,000"),
        (("v1", "interval", "", "1 year"), "to: 1 year; hours, 24 to 438,000"),
        (("v1", "interval", "", "nan"), "to: nan; hours, 24 to 438,000"),
        (("v1", "interval", "", "inf"), "to: inf; hours, 24 to 438,000"),
        (("v1", "interval", "", "8760"), "to: 8760 is what v1 has; another value"),
        (
            ("v1", "interval", "", "175200"),
            "87600.0 is shorter than interval_h 175200.0; at least the proof-test interval",
        ),
        (("v1", "coverage", "", "95"), "to: 95; a fraction above 0, at most 1 (90 % = 0.9)"),
        (("v1", "coverage", "overhaul", "0.9"), "test: overhaul; a test of the group: nothing"),
        (
            ("v2", "coverage", "", "0.9"),
            "full_interval_h: missing; a coverage below 1 needs the overhaul interval in hours",
        ),
        (("v3", "interval", "", "730"), "test: (empty); a test of the group: partial stroke or full stroke or 3"),
        (("v3", "interval", "4", "730"), "test: 4; a test of the group: partial stroke or full stroke or 3"),
        (("v3", "coverage", "partial stroke", "0.95"), "a rarer test finds at least what a more frequent one finds"),
        (("v3", "coverage", "3", "0.95"), "a rest of V is never found; no test finds every failure: give mission_h"),
        (("v1", "voting", "", "2of2"), "to: 2of2; a voting of its 2 channels: 1oo2, 2oo2"),
        (("v1", "voting", "", "2oo3"), "to: 2oo3 has 3 channels; a voting of its 2 channels: 1oo2, 2oo2"),
        (("v1", "voting", "", "1oo2D"), "to: 1oo2D in place of 1oo2; a voting of its 2 channels: 1oo2, 2oo2; 1oo2D"),
        (("v1", "voting", "proof test", "2oo2"), "test: proof test; nothing: a voting belongs to no test"),
        (("v3", "voting", "", "3oo3"), "2oo3 here, but the group itself is 3oo3, without fault tolerance"),
    ],
)
def test_what_does_not_fit_is_refused_with_what_is_allowed(texts: tuple[str, ...], fault: str) -> None:
    with pytest.raises(Refused) as refused:
        _read(*texts)
    assert fault in str(refused.value)


def test_of_one_test_one_interval_and_one_coverage_and_one_voting_fit_together() -> None:
    first, second = _read("v1", "interval", "", "4380"), _read("v1", "interval", "", "2190")
    better, single = _read("v1", "coverage", "", "0.95"), _read("v1", "voting", "", "2oo2")
    overhaul = _read("v1", "interval", "overhaul", "43800")
    found = fitting.options(PLANT, [first, second, better, single, overhaul])
    assert found[0] == frozenset()
    assert len(found) == len(set(found)) == 3 * 2 * 2 * 2
    assert frozenset({first, better, single, overhaul}) in found
    assert not any({first, second} <= each for each in found)


def test_changes_that_the_plant_file_refuses_together_exclude_each_other() -> None:
    """Each alone keeps the rarer test the better one; both together do not: 0.8 every 2190 h, 0.7 every 8760 h."""
    more, less = _read("v3", "coverage", "partial stroke", "0.8"), _read("v3", "coverage", "full stroke", "0.7")
    assert set(fitting.options(PLANT, [more, less])) == {frozenset(), frozenset({more}), frozenset({less})}


def test_a_plant_with_changes_has_them_and_nothing_else() -> None:
    chosen = [_read("v1", "interval", "overhaul", "43800"), _read("v3", "coverage", "full stroke", "0.95")]
    after = changed_plant(PLANT, chosen)
    raw = plant_file.plain(PLANT)
    raw["groups"]["v1"]["proof_test"]["full_interval_h"] = 43800.0
    raw["groups"]["v3"]["tests"][1]["coverage"] = 0.95
    assert plant_file.plain(after) == raw


def test_a_change_that_the_plant_has_or_whose_test_is_gone_fits_no_more() -> None:
    change = _read("v3", "interval", "partial stroke", "730")
    done = fitting.misfit(changed_plant(PLANT, [change]), change)
    assert done is not None
    assert str(done) == "to: 730 is what v3 has; another value"
    proof_test = PLANT.groups["v1"].proof_test
    without = PLANT.groups["v3"].model_copy(update={"tests": [], "proof_test": proof_test})
    gone = fitting.misfit(PLANT.model_copy(update={"groups": {**PLANT.groups, "v3": without}}), change)
    assert gone is not None
    assert "no such test" in str(gone)
    nowhere = fitting.misfit(PLANT.model_copy(update={"groups": {}}), change)
    assert nowhere is not None
    assert "no group any more" in str(nowhere)


def test_what_may_change_is_listed_with_its_present_value() -> None:
    listed = {(place.what, place.test): place.to for place in fitting.places("v1", PLANT.groups["v1"])}
    assert listed == {
        ("voting", ""): "1oo2",
        ("interval", ""): "8760",
        ("coverage", ""): "0.9",
        ("interval", "overhaul"): "87600",
    }
    assert fitting.places("ls", PLANT.groups["ls"]) == []


def test_a_change_in_words_names_what_it_replaces() -> None:
    assert (
        in_words(_read("v1", "interval", "overhaul", "43800"), "87600") == "interval of v1, overhaul: 87600 → 43800 h"
    )
    assert in_words(_read("v2", "voting", "", "1oo2"), "2oo2") == "voting of v2: 2oo2 → 1oo2"
