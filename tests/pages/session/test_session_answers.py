"""Choosing an answer stores it at once, for the chosen addressee, and shows its effect."""

from __future__ import annotations

from datetime import date

import pytest
from streamlit.testing.v1 import AppTest

from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.state.live import Live
from checks.text.number_format import measure, percent
from tests.checks.journal.stored import history, latest
from tests.pages.at_the_screen import unfold
from tests.pages.conftest import NAMED
from tests.pages.shown import Screen, answers, box, fine, in_text, rows, said, tables, type_in

GROUP, QUESTION = "group:pt-301", "DIV8"


def open_question(screen: Screen) -> AppTest:
    """The only unanswered question of the reactor pressure transmitters."""
    return fine(screen("common-cause", group="pt-301", q=QUESTION))


def assessed(store: Store, *more: Answer) -> Assessment:
    return Live(store, 1).state().assessment.with_answers(more)


@pytest.mark.parametrize("value", ["met", "partly", "not-met", "unknown"])
def test_choosing_an_answer_stores_it(store: Store, screen: Screen, value: str) -> None:
    at = open_question(screen)
    assert "Not answered yet: selecting an answer stores it at once." in said(at)
    assert history(store, 1, QUESTION, GROUP) == []
    fine(answers(at, QUESTION, GROUP).set_value(value).run())
    (stored,) = history(store, 1, QUESTION, GROUP)
    expected = {"question": QUESTION, "of": GROUP, "value": value, "evidence": "", "note": "", "by": NAMED}
    assert stored.answer.model_dump() == {**expected, "on": date.today().isoformat()}  # noqa: DTZ011
    assert f"Stored at {stored.at[11:19]} UTC on {stored.at[:10]} for group pt-301, by {NAMED}." in said(at)
    assert answers(at, QUESTION, GROUP).value == value


def test_an_answer_bears_the_name_that_was_given(store: Store, screen: Screen) -> None:
    at = open_question(screen)
    at.text_input(key="who_box").set_value("  instrument engineer IE-2 ").run()
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    assert latest(store, 1, QUESTION, GROUP).answer.by == "instrument engineer IE-2"
    assert "by instrument engineer IE-2." in said(at)


def test_an_answer_without_a_name_waits_for_it_and_is_not_lost(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q=QUESTION, who=""))
    fine(answers(at, QUESTION, GROUP).set_value("partly").run())
    assert history(store, 1, QUESTION, GROUP) == []
    assert f"{QUESTION}: Partly is not stored yet. Everything recorded here carries a name." in said(at)
    fine(at.text_input(key="name_box").set_value(" IE-2 ").run())
    (stored,) = history(store, 1, QUESTION, GROUP)
    assert (stored.answer.value, stored.answer.by) == ("partly", "IE-2")
    assert not [box for box in at.text_input if box.key == "name_box"]
    assert answers(at, QUESTION, GROUP).value == "partly"


def test_an_answer_that_waits_for_a_name_is_stored_for_its_own_question(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q=QUESTION, who=""))
    answers(at, QUESTION, GROUP).set_value("partly").run()
    fine(at.button(key="previous").click().run())
    assert f"{QUESTION}: Partly is not stored yet." in said(at)
    fine(at.text_input(key="who_box").set_value("IE-2").run())
    (stored,) = history(store, 1, QUESTION, GROUP)
    assert (stored.answer.value, stored.answer.by) == ("partly", "IE-2")


def test_evidence_and_note_are_stored_with_the_answer(store: Store, screen: Screen) -> None:
    at = open_question(screen)
    answers(at, QUESTION, GROUP).set_value("met").run()
    type_in(at, "evidence", QUESTION, GROUP, "Commissioning book CB-30").run()
    fine(type_in(at, "note", QUESTION, GROUP, "Two testers, two methods.").run())
    stored = [version.answer for version in history(store, 1, QUESTION, GROUP)]
    assert [(answer.value, answer.evidence, answer.note) for answer in stored] == [
        ("met", "", ""),
        ("met", "Commissioning book CB-30", ""),
        ("met", "Commissioning book CB-30", "Two testers, two methods."),
    ]
    assert box(at, "evidence", QUESTION, GROUP).value == "Commissioning book CB-30"


def test_evidence_typed_before_the_answer_is_stored_with_it(store: Store, screen: Screen) -> None:
    at = open_question(screen)
    fine(type_in(at, "evidence", QUESTION, GROUP, "Commissioning book CB-30").run())
    assert history(store, 1, QUESTION, GROUP) == []
    assert box(at, "evidence", QUESTION, GROUP).value == "Commissioning book CB-30"
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    assert latest(store, 1, QUESTION, GROUP).answer.evidence == "Commissioning book CB-30"


def test_answer_and_evidence_sent_in_the_same_breath_are_one_answer(store: Store, screen: Screen) -> None:
    at = open_question(screen)
    type_in(at, "evidence", QUESTION, GROUP, "Commissioning book CB-30")
    fine(answers(at, QUESTION, GROUP).set_value("met").run())
    (stored,) = history(store, 1, QUESTION, GROUP)
    assert (stored.answer.value, stored.answer.evidence) == ("met", "Commissioning book CB-30")
    assert not at.warning


@pytest.mark.parametrize(
    ("value", "words"), [("equivalent", "Met by a compensating measure"), ("not-applicable", "Does not apply")]
)
def test_a_value_that_needs_a_note_waits_for_it(store: Store, screen: Screen, value: str, words: str) -> None:
    at = open_question(screen)
    answers(at, QUESTION, GROUP).set_value(value).run()
    assert not at.exception
    assert [warning.value for warning in at.warning] == [
        f"{words}\\: give the reason in the note, then it is stored\\."
    ]
    assert history(store, 1, QUESTION, GROUP) == []
    assert answers(at, QUESTION, GROUP).value == value, "the choice stays while the note is written"
    fine(type_in(at, "note", QUESTION, GROUP, "Each loop was read against a real pressure.").run())
    (stored,) = history(store, 1, QUESTION, GROUP)
    assert (stored.answer.value, stored.answer.note) == (value, "Each loop was read against a real pressure.")
    assert not at.warning


def test_a_note_for_another_value_is_a_reason_only_if_the_reader_says_so(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="esv-501", q="TST1"))
    before = latest(store, 1, "TST1", "group:esv-501")
    assert before is not None
    fine(answers(at, "TST1", "group:esv-501").set_value("equivalent").run())
    assert latest(store, 1, "TST1", "group:esv-501") == before
    assert "give the reason in the note" in at.warning[0].value
    fine(at.button(key="reason_given").click().run())
    after = latest(store, 1, "TST1", "group:esv-501")
    assert after is not None
    assert (after.answer.value, after.answer.note) == ("equivalent", before.answer.note)
    assert not at.warning


def test_the_effect_of_an_answer_is_shown_before_and_after(store: Store, screen: Screen) -> None:
    of = "group:esv-501"
    before = assessed(store)
    at = fine(screen("common-cause", group="esv-501", q="TST1"))
    fine(answers(at, "TST1", of).set_value("met").run())
    after = assessed(store)
    old_cases, new_cases = before.function("SIF-501").cases, after.function("SIF-501").cases
    assert new_cases.scored < old_cases.scored
    table = in_text(at, "RRF, common cause")
    assert ["SIF-501", measure("low", old_cases.scored), measure("low", new_cases.scored)] in table
    assert ["cyber scenario", measure("low", old_cases.adjusted), measure("low", new_cases.adjusted)] in table
    betas, old = after.group("esv-501").betas, before.group("esv-501").betas
    assert betas is not None
    assert old is not None
    assert f"**Beta {percent(betas.beta)}**, was {percent(old.beta)}" in said(at)


def test_a_changed_answer_is_compared_with_the_one_it_replaced(store: Store, screen: Screen) -> None:
    of = "group:esv-501"
    before = history(store, 1, "TST1", of)
    at = fine(screen("common-cause", group="esv-501", q="TST1"))
    answers(at, "TST1", of).set_value("met").run()
    met = measure("low", assessed(store).function("SIF-501").cases.scored)
    fine(answers(at, "TST1", of).set_value("not-met").run())
    not_met = measure("low", assessed(store).function("SIF-501").cases.scored)
    assert ["SIF-501", met, not_met] in in_text(at, "RRF, common cause")
    assert [version.answer.value for version in history(store, 1, "TST1", of)[len(before) :]] == ["met", "not-met"]


def test_a_cyber_answer_shows_what_it_did_to_gaps_and_result(store: Store, screen: Screen) -> None:
    before = assessed(store)
    at = fine(screen("cyber", zone="Z5", q="F01"))
    fine(answers(at, "F01", "zone:Z5").set_value("met").run())
    after = assessed(store)
    assert latest(store, 1, "F01", "zone:Z5").answer.value == "met"
    assert f"**{len(after.zone('Z5').gaps)} gaps** (-1 by this answer)" in said(at)
    worst = after.worst_by_exposure(after.zone("Z5").groups)
    assert worst is not None
    old, new = (measure("low", each.function(worst.id).cases.adjusted) for each in (before, after))
    scored = measure("low", after.function(worst.id).cases.scored)
    words = f"RRF of {worst.id} with common cause {scored}; with the cyber scenario {old} before this answer, **{new}** now."
    assert words in said(at)


def test_a_requirement_is_answered_of_the_zone(store: Store, screen: Screen) -> None:
    at = fine(screen("cyber", zone="Z5", bank="requirements", q="SR 3.7"))
    fine(answers(at, "SR 3.7", "zone:Z5").set_value("partly").run())
    assert latest(store, 1, "SR 3.7", "zone:Z5").answer.value == "partly"


def test_the_first_topic_starts_the_review_of_a_zone(store: Store, screen: Screen) -> None:
    at = fine(screen("cyber", zone="Z1"))
    assert "Not reviewed yet: the first answer to a topic of this zone starts its review." in said(at)
    at = fine(screen("cyber", zone="Z1", q="Z01"))
    fine(answers(at, "Z01", "zone:Z1").set_value("not-met").run())
    assert Live(store, 1).state().assessment.zone("Z1").reviewed
    assert "Not reviewed yet" not in said(at)


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(("url_path", "many"), [("common-cause", 26), ("cyber", 60)])
def test_all_answers_are_drawn_only_while_their_fold_is_open(screen: Screen, url_path: str, many: int) -> None:
    at = fine(screen(url_path))
    assert not tables(at, "All answers of this")
    assert len(rows(unfold(at, "listed"), "All answers of this")) == many
    at.session_state["listed"] = False
    assert not tables(fine(at.run()), "All answers of this")


def test_the_list_of_all_answers_holds_the_new_one(store: Store, screen: Screen) -> None:
    at = unfold(open_question(screen), "listed")
    before = {row["Question"]: row for row in rows(at, "All answers of this group")}
    answers(at, QUESTION, GROUP).set_value("met").run()
    after = {row["Question"]: row for row in rows(fine(at), "All answers of this group")}
    assert (before[QUESTION]["Answer"], after[QUESTION]["Answer"]) == ("Not answered", "Met")
    assert after[QUESTION]["Answered for"] == "group pt-301"
    effective = Live(store, 1).state().assessment.answers_for("pt-301")
    assert {name: row["Evidence"] for name, row in after.items()} == {name: effective[name].evidence for name in after}
