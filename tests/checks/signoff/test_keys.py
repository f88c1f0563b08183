"""A key signs for its holder and role only, and until the day of its withdrawal."""

from __future__ import annotations

from datetime import timedelta

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import ASSESSOR, REVIEWER, VIEWER, Person
from checks.signoff import keys
from checks.state.revision_status import REVIEWED, SIGNED
from checks.text.faults import Refused
from tests.checks.signoff.test_signing_refused import refused
from tests.checks.team import DAY, OWNS, Team, ahead


def test_a_key_that_nobody_enrolled_signs_nothing(team: Team) -> None:
    team.put_up()
    why = ("this key is not enrolled: the asset owner must enrol its public line first",)
    assert refused(team, private=Ed25519PrivateKey.generate()) == why


def test_a_key_of_another_person_signs_nothing(team: Team) -> None:
    team.put_up()
    private = team.enrol("safety", name="IA-2")
    assert refused(team, private=private) == ("this key is enrolled for IA-2, not for IA-1",)
    nobody = Person("", frozenset({ASSESSOR}))
    assert refused(team, person=nobody) == ("this key is enrolled for IA-1, not for you",)


def test_a_key_of_another_role_signs_nothing(team: Team) -> None:
    team.put_up()
    private = team.enrol("safety", roles=(REVIEWER, VIEWER))
    why = "this key is enrolled for security reviewer, viewer, not for the independent assessor"
    assert refused(team, private=private) == (why,)


@pytest.mark.parametrize("days", [0, -1, -400])
def test_a_key_that_was_withdrawn_signs_nothing_from_that_day_on(team: Team, days: int) -> None:
    team.put_up()
    team.withdraw("safety", days)
    assert refused(team) == (f"this key was withdrawn from {ahead(days)} on (the stick was lost)",)


def test_a_key_withdrawn_from_tomorrow_still_counts_today(team: Team) -> None:
    team.put_up()
    team.withdraw("safety", 1)
    team.sign("safety")
    team.sign("security")
    assert team.state()[0] == SIGNED
    assert team.on(DAY + timedelta(days=400)).state()[0] == SIGNED, "what it signed before that day stands"


def test_a_signature_does_not_count_whose_key_was_withdrawn_from_its_day_or_before(team: Team) -> None:
    team.signed()
    team.withdraw("safety", 0)
    assert team.state() == (REVIEWED, "revision 0: signed so far: security")
    assert team.now().records.signed("S30") is None


def test_the_half_of_a_withdrawn_key_can_be_signed_again_with_another(team: Team) -> None:
    team.signed()
    team.withdraw("safety", -1)
    team.keys["safety"] = team.enrol("safety")
    team.sign("safety")
    assert team.state()[0] == SIGNED


def test_a_key_is_withdrawn_once_more_only_from_an_earlier_day(team: Team) -> None:
    team.signed()
    team.withdraw("safety", 30)
    with pytest.raises(Refused, match=f"withdrawn already from {ahead(30)} on; only an earlier day changes anything"):
        team.withdraw("safety", 31)
    assert team.state()[0] == SIGNED
    team.withdraw("safety", 0)
    assert team.state()[0] == REVIEWED


@pytest.mark.parametrize("day", ["20200101", "2020-W01-1", "yesterday", "", "2020-13-01"])
def test_a_date_in_another_form_is_refused_since_it_would_compare_wrongly(team: Team, day: str) -> None:
    with pytest.raises(Refused, match=r"from: found '.*'; write a date as 2025-03-04"):
        keys.withdraw(team.live, OWNS, key=team.key_of("safety"), from_day=day, reason="lost")
