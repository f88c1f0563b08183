"""Keys at the Sign-off screen: made, enrolled, withdrawn."""

from __future__ import annotations

from datetime import timedelta

import pytest

from checks.access.roles import ASSESSOR, OWNER, REVIEWER
from checks.signoff import key_files
from tests.checks.team import DAY, PHRASE, Team, ahead
from tests.pages.at_the_screen import as_, press, sign, unfold
from tests.pages.shown import Screen, fine, rows, said, unescaped


def test_a_key_file_of_an_older_derivation_signs_and_a_hint_says_so(
    team: Team, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Key files of tests are as cheap to open as those of earlier releases."""
    team.put_up()
    at = fine(sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety"))
    assert set(team.latest().signatures) == {"safety"}
    assert "protected by an older derivation" in said(at)
    monkeypatch.setattr(key_files, "CURRENT", key_files.ITERATIONS)
    at = fine(sign(as_(screen("sign-off", system="S30"), "SR-1", REVIEWER), team, "security"))
    assert set(team.latest().signatures) == {"safety", "security"}
    assert "older derivation" not in said(at)


def test_a_key_is_made_shown_once_and_enrolled_by_the_owner(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    at.text_input(key="make_phrase").set_value("too short")
    at.text_input(key="make_again").set_value("too short")
    press(at, "Create a key")
    assert [unescaped(element.value) for element in at.error] == [
        "the passphrase has 9 characters; take at least 12: a few words that you remember"
    ]
    for name in ("make_phrase", "make_again"):
        at.text_input(key=name).set_value(PHRASE)
    fine(press(at, "Create a key"))
    (line,) = [element.value for element in at.code]
    at.text_area(key="enrol_public").set_value(line)
    at.text_input(key="enrol_name").set_value("IA-2")
    at.multiselect(key="enrol_roles").set_value([ASSESSOR])
    fine(press(at, "Enrol"))
    assert [row["Holder"] for row in rows(at, "Signing keys")] == ["IA-1", "SR-1", "IA-2"]
    assert "PRIVATE" not in "".join(event.body for event in team.store.events(1))


def test_a_key_is_withdrawn_and_once_more_from_an_earlier_day(team: Team, screen: Screen) -> None:
    team.signed()
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    key = next(key.id for key in team.now().records.keys.values() if key.name == "IA-1")
    at.selectbox(key="withdraw_key").set_value(key)
    at.date_input(key="withdraw_from_day").set_value(DAY + timedelta(days=1))
    at.text_input(key="withdraw_reason").set_value("the laptop is gone")
    fine(press(at, "Withdraw"))
    assert "## S30 is signed" in said(at), "what it signed before that day goes on counting"
    at.selectbox(key="withdraw_key~1").set_value(key)
    at.date_input(key="withdraw_from_day~1").set_value(DAY - timedelta(days=1))
    at.text_input(key="withdraw_reason~1").set_value("it was gone earlier")
    fine(press(at, "Withdraw"))
    assert "## S30 is under review" in said(at)
    (row,) = [row for row in rows(at, "Signing keys") if row["Key"] == key]
    assert (row["Withdrawn from"], row["Reason"]) == (ahead(-1), "it was gone earlier")


def test_the_owner_sees_that_a_key_holder_reads_like_somebody_of_the_team(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    assert not at.warning
    team.enrol("safety", name="TM-l")
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    (note,) = [unescaped(element.value) for element in at.warning]
    assert note.startswith("The key holder TM-l reads like TM-1 of this plant.")
    assert not unfold(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), "keys").warning
