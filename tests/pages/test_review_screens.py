"""Sign-off, re-assessment, what changed, due and open: what a person sees and does there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
import streamlit as st
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, PrivateFormat
from streamlit.testing.v1 import AppTest

from checks.record import people, reassessing, record_file, session, verifying
from checks.record.people import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, VIEWER
from checks.record.reopening import Change
from tests.checks.record.team import ANSWERS, DAY, DISSENT, EVIDENCE, LEADS, PHRASE, Team, ahead
from tests.pages.shown import Screen, fine, rows, said, tables, unescaped

SEEN = ("SEP1", "group:pt-301")


def as_(at: AppTest, name: str, *roles: str) -> AppTest:
    """The same browser with this person before it."""
    at.text_input(key="who_box").set_value(name).run()
    return fine(at.multiselect(key="roles_box").set_value(list(roles)).run())


def key_file(team: Team, half: str) -> bytes:
    lock = BestAvailableEncryption(PHRASE.encode())
    return team.keys[half].private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock)


def sign(at: AppTest, team: Team, half: str, phrase: str = PHRASE) -> AppTest:
    """Fill in and send the form with which a half is signed."""
    at.text_area(key=f"independence_{half}").set_value("no part in the answers")
    at.text_area(key=f"competence_{half}").set_value("twelve years")
    at.file_uploader(key=f"key_{half}").upload("key.pem", key_file(team, half), "application/x-pem-file")
    at.text_input(key=f"phrase_{half}").set_value(phrase)
    (button,) = [one for one in at.button if one.label == f"Sign the {half} half"]
    button.click().run()
    assert not at.exception
    return at


def unfold(at: AppTest, key: str) -> AppTest:
    """Open a fold of the screen."""
    at.session_state[key] = True
    return fine(at.run())


def press(at: AppTest, label: str) -> AppTest:
    """Press the button of this label."""
    (button,) = [one for one in at.button if unescaped(one.label) == label]
    button.click().run()
    assert not at.exception
    return at


def test_a_system_is_put_up_signed_by_both_and_then_voided_by_an_answer(team: Team, screen: Screen) -> None:
    at = fine(screen("sign-off", system="S30"))
    assert "## S30 is being answered" in said(at)
    assert said(at).count("Nothing stands in the way of a signature.") == 2
    fine(press(as_(at, "FA-1", FACILITATOR), "Put up for review"))
    assert "## S30 is with the reviewers" in said(at)
    fine(sign(as_(at, "IA-1", ASSESSOR), team, "safety"))
    assert "Signed by **IA-1** on" in said(at)
    fine(sign(as_(at, "SR-1", REVIEWER), team, "security"))
    assert "## S30 is signed" in said(at)
    team.say("SEP1", "group:pt-301", "partly")
    later = fine(screen("sign-off", system="S30"))
    assert "## S30 is void" in said(later)
    assert "SEP1 of group:pt-301 was answered partly" in said(later)


def test_a_wrong_passphrase_signs_nothing_and_says_so(team: Team, screen: Screen) -> None:
    team.put_up()
    at = sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety", "another phrase")
    assert any("the passphrase does not open this file" in unescaped(one.value) for one in at.error)
    assert team.latest().signatures == {}


def test_somebody_who_answered_is_refused_at_the_screen(team: Team, screen: Screen) -> None:
    team.put_up()
    at = sign(as_(screen("sign-off", system="S30"), "tm-1", ASSESSOR), team, "safety")
    (refused,) = [unescaped(one.value) for one in at.error]
    assert "tm-1 answered, attended, led or accepted a gap; a signer must not have taken part" in refused
    assert "this key is enrolled for IA-1, not for tm-1" in refused


def test_the_reviewer_sees_the_evidence_before_the_answer(team: Team, screen: Screen) -> None:
    session.show(team.live, ANSWERS, SEEN, {**EVIDENCE, "strength": 4})
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR)
    shown = said(at)
    assert "**3 of 3 scoring answers, drawn at random.**" in shown
    assert "H-301 rev 4" in shown
    assert "(strength 4 of 5)" in shown
    assert shown.index("H-301 rev 4") < shown.index("What the team answered", shown.index("H-301 rev 4"))


def test_what_is_sent_back_is_told_to_the_team(team: Team, screen: Screen) -> None:
    team.put_up()
    at = as_(screen("sign-off", system="S30"), "SR-1", REVIEWER)
    at.text_area(key="comments_security").set_value("Which laptop <b>was</b> it?")
    fine(press(at, "Send back to the team"))
    assert "## S30 is sent back" in said(at)
    assert "Which laptop <b>was</b> it?" in said(at)


def test_a_key_is_made_shown_once_and_enrolled_by_the_owner(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "OW-1", OWNER), "keys")
    at.text_input(key="make_phrase").set_value("too short")
    at.text_input(key="make_again").set_value("too short")
    press(at, "Make a key")
    assert [unescaped(one.value) for one in at.error] == [
        "the passphrase has 9 letters; take at least 12: a few words that you remember."
    ]
    for name in ("make_phrase", "make_again"):
        at.text_input(key=name).set_value(PHRASE)
    fine(press(at, "Make a key"))
    (line,) = [one.value for one in at.code]
    at.text_area(key="enrol_public").set_value(line)
    at.text_input(key="enrol_name").set_value("IA-2")
    at.multiselect(key="enrol_roles").set_value([ASSESSOR])
    fine(press(at, "Enrol"))
    assert [one["Whose"] for one in rows(at, "Keys for signing")] == ["IA-1", "SR-1", "IA-2"]
    assert "PRIVATE" not in "".join(event.body for event in team.store.events(1))


def test_the_owner_accepts_gaps_by_name_reason_and_day(team: Team, screen: Screen) -> None:
    team.say("Z01", "zone:sis", "not-met")
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    at.multiselect(key="accept_gaps").set_value(["sis Z01"])
    at.text_input(key="accept_why").set_value("locked and alarmed")
    fine(press(at, "Accept these gaps"))
    held = team.now().records.accepted["S30", "sis", "Z01"]
    assert (held.reason, held.cause.by) == ("locked and alarmed", "OW-1")
    (row,) = rows(at, "Accepted gaps")
    assert row["Gap"] == "Z01"
    assert row["Holds"] == "yes"


def test_a_change_foretells_and_then_voids_what_it_concerns(team: Team, screen: Screen) -> None:
    team.signed()
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    assert "next assessment in time" in said(at)
    at.selectbox(key="c_kind").set_value("routes-moved").run()
    at.multiselect(key="c_touched").set_value(["group:pt-301"]).run()
    # One answer of the group on separation, four of its zone on who can get at it; the zone is S40's as well.
    assert "It will put 5 answers up to be confirmed and void what stands of: S30, S40." in said(at)
    at.text_input(key="c_reference").set_value("MOC-25-7")
    at.text_input(key="c_what").set_value("one tray for all").run()
    fine(press(at, "Record this change"))
    assert "### 5 answers to confirm" in said(at)
    assert team.state()[0] == "void"
    assert "MOC-25-7: one tray for all" in team.state()[1]
    fine(press(at, "This one still holds"))
    assert "### 4 answers to confirm" in said(at)


def test_answers_are_confirmed_by_topic_and_never_all_at_once(team: Team, screen: Screen) -> None:
    told = Change("slow-change", frozenset({"system:S30"}))
    reassessing.change(team.live, ANSWERS, told, reference="", on=ahead(0), what="the years")
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    before = len(team.now().records.to_confirm)
    (button,) = [one for one in at.button if "on this topic still hold" in one.label]
    fine(button.click().run())
    left = len(team.now().records.to_confirm)
    assert 0 < left < before
    assert not [one for one in at.button if "every" in one.label.lower()]


def test_an_unexplained_failure_asks_the_cyber_question(team: Team, screen: Screen) -> None:
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    at.selectbox(key="f_group").set_value("ls-sis").run()
    (asked,) = [unescaped(one.value) for one in at.warning]
    assert "has no explained cause. Could a person or a program have brought this about" in asked
    at.text_input(key="f_reference").set_value("FR-1").run()
    fine(press(at, "Record this failure"))
    assert [body["reference"] for body, _ in team.now().records.failures] == ["FR-1"]
    assert any(asked[1] == "zone:sis" for asked in team.now().records.to_confirm)
    (shown,) = [one.value for one in at.dataframe if "Found by" in one.value]
    (row,) = shown.to_dict("records")
    assert (row["Reference"], row["Groups"], row["Cause"], row["A shared cause"]) == (
        "FR-1",
        "ls-sis",
        "not explained yet",
        "undecided",
    )
    assert "has no explained cause" in row["Look at security"]


def test_what_changed_names_the_answer_that_moved_each_function(team: Team, screen: Screen) -> None:
    team.put_up()
    team.say("SEP1", "group:pt-301", "not-met")
    at = fine(screen("changed", system="S30"))
    assert "1 answers and 0 plant data differ" in said(at)
    (row,) = rows(at, "Answers that differ")
    assert (row["Question"], row["Before"], row["After"]) == ("SEP1", "Met", "Not met")
    (moved,) = [one for one in rows(at, "Functions before and after") if one["Function"] == "SIF-301"]
    before = team.now().before(*SEEN).function("SIF-301").cases.adjusted
    after = team.now().assessment.function("SIF-301").cases.adjusted
    if before != after:
        assert moved["Moved most by"].startswith("SEP1 of group:pt-301: Met → Not met")


def test_nothing_changed_is_said_plainly(team: Team, screen: Screen) -> None:
    team.put_up()
    assert "## Nothing changed" in said(fine(screen("changed", system="S30")))


def test_a_system_without_revision_leads_to_its_sign_off(team: Team, screen: Screen) -> None:
    assert team.now().records.revisions == {}
    assert "## S40 has no revision yet" in said(fine(screen("changed", system="S40")))


def test_due_and_open_lists_void_systems_first_and_evidence_that_ends(team: Team, screen: Screen) -> None:
    team.signed()
    session.show(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(10)})
    at = fine(screen("due"))
    assert "## 0 overdue, 1 void, of 3 systems" in said(at)
    first = rows(at, "Systems, the most urgent first")[0]
    assert first["System"].startswith("S30")
    assert first["State"] == "void"
    (row,) = rows(at, "Evidence that ends")
    assert (row["Question"], row["Until"], row["State"]) == ("SEP1", ahead(10), "ends soon")


def test_an_action_is_raised_closed_by_another_and_moves_no_number(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("due"), "FA-1", FACILITATOR, MEMBER), "act")
    before = team.now().assessment.function("SIF-301").cases
    at.text_input(key="r_what").set_value("=1+1 split the taps")
    at.text_input(key="r_owner").set_value("TM-1")
    at.date_input(key="r_due").set_value(DAY + timedelta(days=30))
    fine(press(at, "Raise it"))
    (row,) = rows(at, "Open actions")
    assert (row["Id"], row["What"], row["Age, days"]) == ("A-001", "=1+1 split the taps", "0")
    at.text_input(key="x_evidence").set_value("walk-down 31")
    at.text_input(key="x_verifier").set_value("tm-1")
    press(at, "Close it")
    assert any("somebody who is not its owner" in unescaped(one.value) for one in at.error)
    at.text_input(key="x_verifier").set_value("OW-1")
    fine(press(at, "Close it"))
    assert not tables(at, "Open actions")
    assert team.now().assessment.function("SIF-301").cases == before


def test_who_attended_is_recorded_with_roles_and_cannot_sign(team: Team, screen: Screen) -> None:
    at = unfold(as_(screen("sign-off", system="S30"), "FA-1", FACILITATOR), "attended")
    at.text_input(key="at_name_0").set_value("IA-1")
    at.selectbox(key="at_role_0").set_value("operations")
    fine(press(at, "Record who attended"))
    (held,) = team.now().records.attended["S30"]
    assert (held.name, held.role, held.on) == ("IA-1", "operations", ahead(0))
    team.put_up()
    refused = sign(as_(screen("sign-off", system="S30"), "IA-1", ASSESSOR), team, "safety")
    assert any("IA-1 answered, attended" in unescaped(one.value) for one in refused.error)


def test_the_report_the_annex_and_the_record_are_handed_out_and_kept_in_the_journal(
    team: Team, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: dict[str, Callable[[], bytes | str]] = {}

    def button(label: str, data: Callable[[], bytes | str], file_name: str, **_: object) -> bool:
        offered[file_name] = data
        return not label

    monkeypatch.setattr(st, "download_button", button)
    team.signed()
    at = as_(screen("sign-off", system="S30"), "OW-1", OWNER)
    fine(at.text_input(key="reader").set_value("SR-9").run())
    before = team.count()
    pdf = [offered[f"{name}-S30-0.pdf"]() for name in ("safety-report", "security-annex")]
    assert [held[:5] for held in pdf] == [b"%PDF-", b"%PDF-"]
    record = str(offered["record-S30-0.json"]())
    assert list(verifying.verify(record_file.from_text("record", record)))
    told = [(one.content["what"], one.by) for one in team.store.events(1, after=before, kinds=("export",))]
    assert told == [(what, "OW-1") for what in ("safety report", "security annex for SR-9", "record")]


def test_private_answers_stay_private_until_the_reveal(team: Team, screen: Screen) -> None:
    session.answer_privately(team.live, ANSWERS, SEEN, value="not-met", note="one tray, I saw it")
    other = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-2", MEMBER), "beside")
    assert "one tray, I saw it" not in said(other)
    assert "1 given and not yet revealed." in said(other)
    leads = as_(screen("common-cause", group="pt-301", q="SEP1"), "FA-1", FACILITATOR)
    fine(press(leads, "Reveal the private answers to 1 question"))
    assert "one tray, I saw it" in said(unfold(other, "beside"))


def test_an_open_dissent_adopts_the_less_favourable_answer_on_screen(team: Team, screen: Screen) -> None:
    session.dissent(team.live, ANSWERS, SEEN, DISSENT)
    at = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER), "beside")
    assert "maintenance technician holds **Not met**: one tray" in said(at)
    assert "TM-2" not in said(at), "a member sees roles, not names"
    leads = unfold(as_(screen("common-cause", group="pt-301", q="SEP1"), "FA-1", FACILITATOR), "beside")
    assert "TM-2, maintenance technician holds" in said(leads)


@pytest.mark.parametrize("url_path", ["common-cause", "cyber", "zones", "due", "again", "changed", "sign-off"])
def test_a_viewer_sees_none_of_what_needs_a_role(team: Team, screen: Screen, url_path: str) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence="the secret place")
    team.put_up()
    at = as_(screen(url_path), "VW-1", VIEWER)
    assert "Nothing is shown here" in said(at)
    assert "the secret place" not in said(at)


@pytest.mark.parametrize("url_path", ["plant", "redundancy"])
def test_a_viewer_sees_results_and_the_number_of_gaps(team: Team, screen: Screen, url_path: str) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence="the secret place")
    at = as_(screen(url_path), "VW-1", VIEWER)
    assert "the secret place" not in said(at)
    assert "Nothing is shown here" not in said(at)
    assert len(at.dataframe) > 0


def test_every_third_assessment_hides_the_old_answers_until_given_anew(team: Team, screen: Screen) -> None:
    team.signed()
    for _ in range(3):
        for asked in team.now().records.to_confirm:
            reassessing.confirm(team.live, ANSWERS, [asked])
        reassessing.begin(team.live, LEADS, "S30")
    at = as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER)
    assert "A fresh start: the earlier answer stays hidden" in said(at)
    box = at.button_group(key="value_1_SEP1_group:pt-301")
    assert box.value is None
    fine(box.set_value("met").run())
    assert SEEN not in team.now().records.anew
    assert "Stored at" in said(at)


@pytest.mark.usefixtures("team")
def test_the_roles_at_the_head_are_those_of_the_trade(screen: Screen) -> None:
    at = fine(screen("plant"))
    assert at.multiselect(key="roles_box").options == list(people.ROLES)
    assert at.multiselect(key="roles_box").value == [FACILITATOR, MEMBER]
