"""Accepted residual risks: their effect, their end date, and what an acceptance must name."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.journal.append import Entry
from checks.signoff import accepted_gaps
from checks.signoff.sign_off import NotSigned
from checks.text.faults import Refused
from tests.checks.team import DAY, OWNS, SIGNERS, Team, ahead


def accept(team: Team, question: str, days: int, zone: str = "sis") -> None:
    """The asset owner accepts a gap of S30 for this many days."""
    accepted_gaps.accept_gaps(
        team.live, OWNS, [("S30", zone, question)], reason="locked and alarmed", until=ahead(days)
    )


def test_a_gap_is_closed_or_accepted_before_the_security_half_is_signed(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    team.say("A05", "zone:sis", "partly")
    revision = team.put_up()
    with pytest.raises(
        NotSigned, match=r"2 gaps neither closed nor accepted as residual risk: Z01 of sis, A05 of sis$"
    ):
        team.sign("security")
    team.sign("safety")
    accept(team, "Z01", 0)
    accept(team, "A05", 30)
    assert team.latest().voided is None, "to accept a gap changes no fact"
    stated = team.sign("security", revision).content["statement"]["accepted_gaps"]
    assert {(gap["zone"], gap["question"], gap["until"]) for gap in stated} == {
        ("sis", "Z01", ahead(0)),
        ("sis", "A05", ahead(30)),
    }


def test_a_signed_system_says_which_gap_is_no_longer_accepted(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    revision = team.put_up()
    accept(team, "Z01", 3)
    for half in SIGNERS:
        team.sign(half, revision)
    assert team.state() == ("signed", "revision 0: both halves")
    later = team.on(DAY + timedelta(days=4))
    assert later.state() == ("signed", f"revision 0: both halves; no longer accepted: Z01 of sis until {ahead(3)}")


def test_an_expired_acceptance_does_not_count(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    team.put_up()
    accept(team, "Z01", 5)
    later = team.on(DAY + timedelta(days=6))
    with pytest.raises(NotSigned, match="1 gap neither closed nor accepted as residual risk: Z01 of sis"):
        later.sign("security")
    team.on(DAY + timedelta(days=5)).sign("security")


def test_an_older_acceptance_without_its_answer_covers_the_gap_with_any_answer(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    body = {"system": "S30", "zone": "sis", "question": "Z01", "reason": "locked", "until": ahead(30)}
    team.store.record(1, Entry("gap-accepted", body, OWNS.name))
    (accepted,) = team.now().records.accepted.values()
    assert (accepted.reason, accepted.value) == ("locked", "")
    team.sign("security", team.put_up())


@pytest.mark.parametrize(
    ("gap", "reason", "until", "line"),
    [
        (("S30", "sis", "Z02"), "why", ahead(1), "gap: Z02 of sis is not on the gap list; choose one of the list"),
        (("S30", "no", "Z01"), "why", ahead(1), "gap: Z01 of no is not on the gap list; choose one of the list"),
        (("S99", "sis", "Z01"), "why", ahead(1), "system: S99 is no system of this plant; choose one of the list"),
        (("S30", "sis", "Z01"), " ", ahead(1), "reason: missing; say why, in a sentence"),
        (("S30", "sis", "Z01"), "why", ahead(-1), f"until: found {ahead(-1)}; today or a later date"),
        (
            ("S30", "sis", "Z01"),
            "why",
            "20200101",
            "until: found '20200101'; write a date as 2025-03-04, from 1950 to 2100",
        ),
    ],
)
def test_an_acceptance_names_a_listed_gap_a_reason_and_a_future_date(
    team: Team, gap: tuple[str, str, str], reason: str, until: str, line: str
) -> None:
    team.say("Z01", "zone:sis", "not-met")
    with pytest.raises(Refused) as error:
        accepted_gaps.accept_gaps(team.live, OWNS, [gap], reason=reason, until=until)
    assert f"residual risk: {line}" in error.value.lines()
