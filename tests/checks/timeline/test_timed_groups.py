"""From the plant file to the timeline: which share of the failures of a device is found at which test, and when."""

from __future__ import annotations

import pytest

from checks.plantfile.equipment import ProofTest
from checks.plantfile.plant import Plant
from checks.timeline import timed_groups
from scoring.moon_factors import TABLE_D5
from scoring.timeline.group import Device, Error, InTest
from scoring.timeline.instants import Rhythm
from scoring.voting import Voting
from tests.checks.given import plain_2, valid_plant

PLANT = Plant.model_validate(plain_2())


def test_each_device_has_its_own_tests_and_each_channel_its_own_offset() -> None:
    """ESV: 60 % by the partial stroke, 95 % with the full one, the rest at overhaul; the solenoid has no partial stroke."""
    group = timed_groups.timed(PLANT, PLANT.groups["esv"], Voting(1, 2), moon_factor=TABLE_D5)
    assert (group.repair, group.restoration, group.check_others) == (24.0, 24.0, True)
    for channel, offset in zip(group.channels, (0.0, 4380.0), strict=True):
        solenoid, valve = channel
        assert isinstance(solenoid, Device)
        assert isinstance(valve, Device)
        assert (solenoid.du, solenoid.dd, valve.du) == (3e-7, 1.5e-8, 9e-7)
        full, overhaul = Rhythm(8760.0, offset), Rhythm(87600.0)
        assert [(round(part.share, 9), part.test) for part in solenoid.sought] == [(0.95, full), (0.05, overhaul)]
        partial = Rhythm(720.0)
        assert [(round(part.share, 9), part.test) for part in valve.sought] == [
            (0.6, partial), (0.35, full), (0.05, overhaul),
        ]  # fmt: skip


def test_a_rest_is_found_by_no_test_within_the_mission() -> None:
    group = timed_groups.timed(PLANT, PLANT.groups["pt"], Voting(2, 3), moon_factor=TABLE_D5)
    assert group.channels[0] is group.channels[1], "like channels are calculated once"
    (device,) = group.channels[0]
    assert isinstance(device, Device)
    assert [(round(part.share, 9), part.test) for part in device.sought] == [(0.95, Rhythm(8760.0)), (0.05, None)]


def test_a_staggered_proof_test_is_spread_evenly_unless_all_are_tested_together() -> None:
    plant = valid_plant()
    key = next(key for key, group in plant.groups.items() if group.voted.n == 3)
    staggered = plant.groups[key].model_copy(update={"proof_test": ProofTest(interval_h=9000.0, staggered=True)})
    assert timed_groups.has_offsets(staggered)
    apart, together = (
        timed_groups.timed(plant, staggered, staggered.voted, moon_factor=TABLE_D5, together=way).channels
        for way in (False, True)
    )
    offsets = [
        device.sought[0].test.offset for (device, *_) in apart if isinstance(device, Device) and device.sought[0].test
    ]
    assert offsets == [0.0, 3000.0, 6000.0]
    assert len(set(together)) == 1


@pytest.mark.parametrize(("stated", "hours"), [(None, 131400.0), (87600.0, 87600.0)])
def test_the_mission_is_that_of_the_plant_or_fifteen_years(stated: float | None, hours: float) -> None:
    plant = valid_plant()
    plant = plant.model_copy(update={"conventions": plant.conventions.model_copy(update={"mission_h": stated})})
    assert timed_groups.mission(plant) == hours


def test_time_in_test_and_errors_have_the_times_of_their_test() -> None:
    group = timed_groups.timed(PLANT, PLANT.groups["esv"], Voting(1, 2), moon_factor=TABLE_D5)
    first, second = Rhythm(8760.0), Rhythm(8760.0, 4380.0)
    assert group.in_test == (InTest(first, 2.0, None), InTest(second, 2.0, None))
    assert group.errors == (Error((first, second), 0.001),)


def test_channels_that_are_tested_on_one_day_are_in_test_one_after_the_other() -> None:
    """House rule: with bypass channel the others stay in service."""
    test = PLANT.groups["esv"].tests[0].model_copy(update={"bypass": "channel", "offsets_h": []})
    esv = PLANT.groups["esv"].model_copy(update={"tests": [test]})
    yearly = Rhythm(8760.0)
    assert timed_groups.timed(PLANT, esv, Voting(1, 2), moon_factor=TABLE_D5).in_test == (
        InTest(yearly, 2.0, 0),
        InTest(yearly, 2.0, 1, delay=2.0),
    )
    alone = esv.model_copy(update={"channels": esv.channels[:1]})
    assert timed_groups.timed(PLANT, alone, Voting(1, 1), moon_factor=TABLE_D5).in_test == (InTest(yearly, 2.0, None),)
