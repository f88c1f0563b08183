"""Plant data to check after a change: a to-do that blocks a signature (house rule)."""

from __future__ import annotations

import pytest

from checks.access.roles import NotAllowed
from checks.reassessment import change_records, data_checks
from checks.reassessment.reopening import Change
from checks.signoff.sign_off import NotSigned
from checks.state import plant_data_waiting
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, DAY, LOOKS_ON, Team

TEST = Change("proof-test", frozenset({"group:pt-301"}))
PLACE = "groups.pt-301.proof_test"


@pytest.fixture
def changed(team: Team) -> Team:
    """The proof test of pt-301 was changed, and its answers are confirmed."""
    words = {"reference": "MOC-1", "on": DAY.isoformat(), "what": "tested every second year"}
    change_records.record_change(team.live, ANSWERS, TEST, **words)
    return team


def test_data_to_check_wait_for_the_systems_that_rest_on_them(changed: Team) -> None:
    assert PLACE in plant_data_waiting.of_system(changed.now(), "S30")
    assert plant_data_waiting.of_system(changed.now(), "S50") == {}


def test_nothing_is_signed_while_plant_data_wait_to_be_checked(changed: Team) -> None:
    for asked in list(changed.now().records.to_confirm):
        changed.say(*asked)
    revision = changed.put_up()
    with pytest.raises(NotSigned, match=f"plant data still to be checked after a change: {PLACE}"):
        changed.sign("safety", revision)
    places = list(plant_data_waiting.of_system(changed.now(), "S30"))
    data_checks.confirm_data(changed.live, ANSWERS, places, system="S30", how="test procedure TP-301")
    changed.sign("safety", revision)


def test_data_that_are_changed_wait_no_longer_and_other_data_still_do(changed: Team) -> None:
    plant = changed.now().plant
    group = plant.groups["pt-301"]
    assert group.proof_test is not None
    longer = group.proof_test.model_copy(update={"interval_h": group.proof_test.interval_h * 2})
    waiting = set(plant_data_waiting.of_system(changed.now(), "S30"))
    groups = {**plant.groups, "pt-301": group.model_copy(update={"proof_test": longer})}
    changed.change(plant.model_copy(update={"groups": groups}))
    assert set(plant_data_waiting.of_system(changed.now(), "S30")) == waiting - {PLACE}


def test_checking_says_against_what_and_only_what_waits(changed: Team) -> None:
    count = changed.count()
    with pytest.raises(Refused, match="say against what the data were checked"):
        data_checks.confirm_data(changed.live, ANSWERS, [PLACE], system="S30", how=" ")
    with pytest.raises(Refused, match=r"groups\.lt-501\.proof_test does not wait to be checked"):
        data_checks.confirm_data(changed.live, ANSWERS, ["groups.lt-501.proof_test"], system="S30", how="TP-1")
    with pytest.raises(Refused, match="tick the data that were checked"):
        data_checks.confirm_data(changed.live, ANSWERS, [], system="S30", how="TP-1")
    with pytest.raises(NotAllowed):
        data_checks.confirm_data(changed.live, LOOKS_ON, [PLACE], system="S30", how="TP-1")
    assert changed.count() == count
