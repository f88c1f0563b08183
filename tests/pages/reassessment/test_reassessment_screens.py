"""Re-assessment: what a person sees and does there."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest

from checks.access.roles import FACILITATOR, MEMBER
from checks.reassessment import (
    change_records,
    confirmations,
    failure_records,
    kinds_of_change,
    rounds,
)
from checks.reassessment.reopening import Change
from checks.state.revision_status import SIGNED, VOID
from tests.checks.reassessment.given import failure
from tests.checks.team import ANSWERS, LEADS, Team, ahead
from tests.pages.at_the_screen import as_, press
from tests.pages.shown import Screen, fine, rows, said, tables, unescaped

SEEN = ("SEP1", "group:pt-301")


def test_a_change_states_its_consequences_and_then_invalidates_the_sign_offs(team: Team, screen: Screen) -> None:
    team.signed()
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    assert "## S30 is signed: next assessment not yet due" in said(at)
    at.selectbox(key="change_kind").set_value("routes-moved").run()
    at.multiselect(key="change_touched").set_value(["group:pt-301"]).run()
    # Of the group and of S30 one answer each, three of the zone on who can get at it, which is S40's as well.
    effects = rows(at, "What recording this change does, system by system")
    assert [
        (row["System"].split()[0], row["Answers to confirm"], row["of them shared"], row["Sign-off"]) for row in effects
    ] == [
        ("S30", "5", "3", "invalidated: both halves"),
        ("S40", "4", "3", "none in force"),
    ]
    at.text_input(key="change_reference").set_value("MOC-25-7")
    at.text_input(key="change_what").set_value("one tray for all").run()
    (record,) = [button for button in at.button if button.label == "Record this change"]
    assert record.disabled
    (agreed,) = [box for box in at.checkbox if box.label == "Invalidate the sign-off of S30"]
    agreed.check().run()
    fine(press(at, "Record this change"))
    assert "### 5 answers to confirm" in said(at)
    assert team.state()[0] == VOID
    assert "MOC-25-7: one tray for all" in team.state()[1]
    _tick(at, 1)
    fine(press(at, "Confirm the ticked answers"))
    assert "### 4 answers to confirm" in said(at)
    assert not [button for button in at.button if button.label == "Take this change back"]  # somebody built on it


def _tick(at: AppTest, count: int) -> None:
    """Tick the first answers to confirm."""
    for box in [box for box in at.checkbox if " of " in box.label][:count]:
        box.check()
    at.run()


def test_a_change_is_taken_back_by_who_recorded_it(team: Team, screen: Screen) -> None:
    team.signed()
    change = Change("routes-moved", frozenset({"group:pt-301"}))
    change_records.record_change(team.live, ANSWERS, change, reference="MOC-1", on=ahead(0), what="one tray")
    assert team.state()[0] == VOID
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    fine(press(at, "Take this change back"))
    assert team.state()[0] == SIGNED
    assert "### 0 answers to confirm" in said(at)


def test_plant_data_wait_until_somebody_says_against_what_they_were_checked(team: Team, screen: Screen) -> None:
    change = Change("proof-test", frozenset({"group:pt-301"}))
    change_records.record_change(team.live, ANSWERS, change, reference="MOC-1", on=ahead(0), what="every second year")
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    places = [row["Plant data"] for row in rows(at, "Plant data to check")]
    assert "groups.pt-301.proof_test" in places
    at.multiselect(key="data_places").set_value(places).run()
    press(at, "These data are right")
    assert any("say against what the data were checked" in unescaped(error.value) for error in at.error)
    at.text_input(key="data_how").set_value("procedure TP-301").run()
    fine(press(at, "These data are right"))
    assert not team.now().records.data_to_check


def test_starting_an_assessment_says_first_what_it_hides_and_is_taken_back(team: Team, screen: Screen) -> None:
    team.signed()
    team.blind_round()
    rounds.take_back(team.live, LEADS, "S30")
    at = as_(screen("again", system="S30"), "FA-1", FACILITATOR)
    start = rounds.start_of(team.now(), "S30")
    assert f"Assessment 3 is a **blind round**: {len(start.own)} answer" in said(at)
    assert f"{len(start.shared)} answers that other systems rest on too are to be confirmed instead" in said(at)
    fine(press(at, "Start assessment 3"))
    assert set(team.now().records.to_answer_again) == set(start.own)
    fine(press(at, "Take back the last start"))
    assert team.now().records.to_answer_again == {}


def test_answers_are_confirmed_by_topic_and_never_all_at_once(team: Team, screen: Screen) -> None:
    change = Change("slow-change", frozenset({"system:S30"}))
    change_records.record_change(team.live, ANSWERS, change, reference="", on=ahead(0), what="the years")
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    before = len(team.now().records.to_confirm)
    offered = [box for box in at.checkbox if " of " in box.label]
    assert 0 < len(offered) <= confirmations.MOST_AT_ONCE
    press(at, "Confirm the ticked answers")
    assert len(team.now().records.to_confirm) == before  # nothing was ticked
    _tick(at, len(offered))
    fine(press(at, "Confirm the ticked answers"))
    left = len(team.now().records.to_confirm)
    assert left == before - len(offered)
    assert not [element for element in at.button if "every" in element.label.lower()]


def test_a_condition_that_was_denied_of_one_kind_of_change_is_not_denied_of_the_next(
    team: Team, screen: Screen
) -> None:
    kinds = [key for key, kind in kinds_of_change.kinds().items() if kind.only_if]
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    for kind in kinds:
        at.selectbox(key="change_kind").set_value(kind).run()
        (asked,) = [element for element in at.checkbox if element.key and element.key.startswith("change_holds")]
        assert asked.value, kind
        asked.uncheck().run()
    assert len(kinds) > 1
    assert team.now().records.changes == ()


def test_a_failure_is_not_recorded_for_a_group_whose_channels_were_not_shown(team: Team, screen: Screen) -> None:
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    at.selectbox(key="failure_group").set_value("ls-sis").run()
    at.selectbox(key="failure_group").set_value("pt-301")
    press(at, "Record this failure")
    assert any(
        "the selection has changed meanwhile; check its channels first" in unescaped(error.value) for error in at.error
    )
    assert team.now().records.failures == ()


def test_two_failures_that_read_alike_are_told_apart(team: Team, screen: Screen) -> None:
    events = [
        failure_records.record_failure(team.live, ANSWERS, failure(reference="", channels=("ESV-301A",), cause=cause))[
            0
        ].seq
        for cause in ("ice", "a bent stem")
    ]
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    offered = at.selectbox(key="f_which").options
    assert len(set(offered)) == 2
    assert all(any(f"(event {seq})" in label for label in offered) for seq in events)


def test_an_unexplained_failure_asks_the_cyber_question(team: Team, screen: Screen) -> None:
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    at.selectbox(key="failure_group").set_value("ls-sis").run()
    (asked,) = [unescaped(element.value) for element in at.warning]
    assert "has no explained cause. Could a person or a program have caused this" in asked
    at.text_input(key="failure_reference").set_value("FR-1").run()
    fine(press(at, "Record this failure"))
    assert [failure.body.reference for failure in team.now().records.failures] == ["FR-1"]
    assert any(asked[1] == "zone:sis" for asked in team.now().records.to_confirm)
    (table,) = [found for found in tables(at, "") if "Found by" in found]
    (row,) = table.to_dict("records")
    assert (row["Reference"], row["Groups"], row["Cause"], row["Common cause"]) == (
        "FR-1",
        "ls-sis",
        "not explained yet",
        "undecided",
    )
    assert "has no explained cause" in row["Security check needed"]


def test_a_system_of_which_one_half_alone_was_ever_signed_says_that_it_is_void(team: Team, screen: Screen) -> None:
    team.put_up()
    team.sign("safety")
    assert "## S30 is under review: no revision has both signatures" in said(fine(screen("again", system="S30")))
    team.say(*SEEN, "not-met")
    shown = said(fine(screen("again", system="S30")))
    assert "## S30 is void: no revision has both signatures" in shown
    assert "Revision 0: SEP1 of group:pt-301 was answered not-met" in unescaped(shown)


def test_every_third_assessment_hides_the_old_answers_until_answered_again(team: Team, screen: Screen) -> None:
    team.signed()
    team.blind_round()
    at = as_(screen("common-cause", group="pt-301", q="SEP1"), "TM-1", MEMBER)
    assert "Blind round: the earlier answer stays hidden" in said(at)
    box = at.button_group(key="value_1_SEP1_group:pt-301")
    assert box.value is None
    fine(box.set_value("met").run())
    assert SEEN not in team.now().records.to_answer_again
    assert "Stored at" in said(at)


def test_a_failure_is_completed_with_the_security_check_made(team: Team, screen: Screen) -> None:
    record = failure(
        groups=("ls-sis",),
        channels=("LS-1B",),
        found_by="unwanted-trip",
        cause="",
        cause_explained=None,
        coupling_named=None,
    )
    first = failure_records.record_failure(team.live, ANSWERS, record)[0]
    at = as_(screen("again", system="S30"), "TM-1", MEMBER)
    (row,) = rows(at, "Failures that concern S30")
    assert row["Security check made"] == "not recorded"
    at.selectbox(key="f_which").set_value(first.seq).run()
    assert at.text_input(key="failure_reference~1").value == record.reference
    assert at.multiselect(key="failure_channels~1").value == ["LS-1B"]
    at.text_area(key="failure_looked_at~1").set_value("log-ins of both weeks by OT-2: <b>none</b>").run()
    fine(press(at, "Complete this record"))
    (row,) = rows(at, "Failures that concern S30")
    assert row["Security check made"] == "log-ins of both weeks by OT-2: <b>none</b>"
    (completed,) = team.now().records.failures
    assert (completed.cause.seq, completed.body.completes) == (first.seq, first.seq)
