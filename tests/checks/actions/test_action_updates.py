"""An edited list: its changes, and no change the second time."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.actions.action_rules import Action, check
from checks.actions.action_updates import Held, Proposed
from checks.spreadsheets.cells import visible
from tests.checks.actions.drawn import TODAY, action, actions, in_state
from tests.checks.actions.lists import (
    NAMES,
    READ,
    as_file,
    asked,
    edited,
    list_of,
    new_row,
    plant,
    put,
    table,
    taken,
    told,
    written,
)
from tests.checks.draws import texts

KINDS = pytest.mark.parametrize("kind", ["csv", "xlsx"])
DRAWN = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
typed = texts(150, 1).filter(lambda text: text.strip() and not text.startswith("'"))
"""Typed text; a leading apostrophe is the text mark of a spreadsheet, and no part of the text."""
people = st.text("=-@aZżé .", min_size=1, max_size=150).filter(lambda name: any(map(str.isalpha, name)))


def numbered(several: list[Action]) -> list[Action]:
    return [single.model_copy(update={"id": f"A-{number:03d}"}) for number, single in enumerate(several, start=1)]


@KINDS
@DRAWN
@given(several=st.lists(actions(), max_size=3))
def test_a_list_that_nobody_edited_asks_for_nothing(kind: str, several: list[Action]) -> None:
    present = numbered(several)
    proposed = asked(kind, written(kind, present), present)
    assert (proposed.updates, proposed.new, proposed.unchanged) == ((), (), len(present))


@KINDS
@DRAWN
@given(several=st.lists(actions(), max_size=3))
def test_a_list_that_another_program_saved_again_asks_for_nothing(kind: str, several: list[Action]) -> None:
    # The csv module and openpyxl act as that program. openpyxl makes formulas of texts, which are read as texts.
    present = numbered(several)
    proposed = asked(kind, as_file(kind, table(kind, written(kind, present))), present)
    assert (proposed.updates, proposed.new, proposed.unchanged) == ((), (), len(present))


@KINDS
@DRAWN
@given(owner=people, interim=typed, change=typed.filter(lambda text: len(text) <= 200), due=st.dates(TODAY))
def test_what_a_list_may_change_is_changed_to_what_was_typed_and_only_once(
    kind: str, owner: str, interim: str, change: str, due: date
) -> None:
    due = min(due, date(2199, 12, 31))
    wanted = action(owner=owner, interim=interim, change=change, due=due, state="done")
    proposed = asked(kind, written(kind, [wanted]), [action()])
    (update,) = proposed.updates
    assert set(update.fields) == {"owner", "interim", "change", "due", "state"}
    for name in ("owner", "interim", "change"):
        expected = getattr(wanted, name)
        expected = visible(expected) if kind == "xlsx" else expected.replace("\r\n", "\n").replace("\r", "\n")
        assert getattr(update.after, name) == expected
    assert (update.after.due, update.after.state) == (due, "done")
    assert check(update.after) == []
    again = asked(kind, written(kind, [wanted]), taken([action()], proposed))
    assert (again.updates, again.new, again.unchanged) == ((), (), 1)


@KINDS
@DRAWN
@given(what=typed, owner=people, interim=texts())
def test_a_row_without_an_id_is_a_new_action_with_the_text_that_was_typed_and_only_once(
    kind: str, what: str, owner: str, interim: str
) -> None:
    present = [action(), in_state("closed", id="A-007", what="another")]
    fresh = action(id="A-999", what=what, owner=owner, interim=interim, due=TODAY)
    raw = edited(kind, [fresh], put(1, Id="", Raised_on="", Raised_by=""))
    proposed = asked(kind, raw, present)
    (new,) = proposed.new
    assert check(new, plant()) == []
    assert (new.id, new.raised_on, new.raised_by, new.state) == ("A-008", TODAY, "facilitator", "open")
    assert new.questions == fresh.questions
    assert visible(new.what) == visible(what)
    again = asked(kind, raw, taken(present, proposed))
    assert (again.updates, again.new, again.unchanged) == ((), (), 1)


@KINDS
@pytest.mark.parametrize("state", ["open", "done", "closed", "dropped"])
def test_rows_left_out_and_columns_left_out_stay_as_they_are(kind: str, state: str) -> None:
    present = [in_state(state), action(id="A-002")]
    few = as_file(kind, [["What", "Due", "Id"], [present[0].what, present[0].due.isoformat(), "A-001"]])
    assert asked(kind, few, present).unchanged == 1


@KINDS
def test_columns_may_stand_in_another_order_and_rows_may_be_empty(kind: str) -> None:
    rows = table(kind, written(kind, [action()]))
    turned = [list(reversed(row)) for row in rows]
    raw = as_file(kind, [["a line above"], [], turned[0], [], [None] * 21, turned[1]])
    assert asked(kind, raw, [action()]).unchanged == 1


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_csv_list_may_be_divided_by_commas_semicolons_or_tabs(delimiter: str) -> None:
    raw = delimiter.join(["Id", "What", "Owner", "Due"]) + "\n" + delimiter.join(["", "x, y", "o", "2026-01-31"])
    raw = raw.replace("x, y", '"x, y"')
    (new,) = asked("csv", raw.encode()).new
    assert (new.what, new.owner, new.due) == ("x, y", "o", date(2026, 1, 31))


def test_a_day_that_the_workbook_holds_as_a_day_is_read_as_that_day() -> None:
    for due in (date(2025, 11, 30), datetime(2025, 11, 30)):  # noqa: DTZ001  (a workbook knows no time zone)
        (update,) = asked("xlsx", edited("xlsx", [action()], put(1, Due=due)), [action()]).updates
        assert update.after.due == date(2025, 11, 30)


def test_a_number_in_the_workbook_is_read_as_its_digits() -> None:
    cells = {"Change_reference": 25009, "Interim_measure": 0.5}
    (update,) = asked("xlsx", edited("xlsx", [action()], put(1, **cells)), [action()]).updates
    assert (update.after.change, update.after.interim) == ("25009", "0.5")


def test_a_formula_in_the_workbook_is_read_as_its_text() -> None:
    cells = {"Owner": '=HYPERLINK("https://example.invalid")', "Interim_measure": "=1+1"}
    (update,) = asked("xlsx", edited("xlsx", [action()], put(1, **cells)), [action()]).updates
    assert (update.after.owner, update.after.interim) == ('=HYPERLINK("https://example.invalid")', "=1+1")
    raw = edited("xlsx", [action()], put(1, Due="=TODAY()"))
    assert told("xlsx", raw, [action()]) == [
        "row 2, column Due: found '=TODAY()'; write a date as 2025-03-04, 1990 to 2199"
    ]


@KINDS
def test_a_list_that_takes_back_that_something_was_done_counts_as_a_reopening_once(kind: str) -> None:
    raw = edited(kind, [in_state("done")], put(1, State=" Open "))
    proposed = asked(kind, raw, [in_state("done")])
    (update,) = proposed.updates
    assert (update.after.state, update.after.reopened) == ("open", 1)
    again = asked(kind, raw, taken([in_state("done")], proposed))
    assert (again.updates, again.unchanged) == ((), 1)


@KINDS
def test_many_new_actions_are_numbered_in_the_order_of_their_rows(kind: str) -> None:
    rows = [new_row(What=f"step {number}") for number in range(1200)]
    proposed = asked(kind, list_of(kind, *rows), [action(), in_state("dropped", id="A-150")])
    assert [new.id for new in proposed.new] == [f"A-{number}" for number in range(151, 1351)]
    assert [new.what for new in proposed.new] == [f"step {number}" for number in range(1200)]


@KINDS
def test_a_new_row_that_was_taken_is_known_when_its_due_day_has_passed(kind: str) -> None:
    raw = list_of(kind, new_row(Due="2025-10-01"))
    (new,) = asked(kind, raw).new
    later = Held(actions=[new], plant=plant(), by="somebody else", today=date(2026, 10, 1))
    assert READ[kind](raw, later) == Proposed((), (), 1)


@KINDS
def test_what_is_only_shown_is_not_read_back(kind: str) -> None:
    cells = {"Expected_effect": "everything", "Age_in_days": 1, "Overdue": "never", "Times_reopened": 7}
    assert asked(kind, edited(kind, [action()], put(1, **cells)), [action()]).unchanged == 1
    assert asked(kind, list_of(kind, ["" if name != "Overdue" else "no" for name in NAMES])).new == ()


@KINDS
def test_a_new_action_in_a_list_names_every_field_that_it_may(kind: str) -> None:
    cells = {"System": "S40", "Questions": "SR 1.1 RE 1 of zone:sis\nASM1 of system:S40", "Change_reference": "MOC-1"}
    cells |= {"Answer_from": "Partly", "Answer_expected": "EQUIVALENT", "State": "Done", "Interim_measure": "by hand"}
    (new,) = asked(kind, list_of(kind, new_row(**cells))).new
    assert [str(asked_question) for asked_question in new.questions] == [
        "SR 1.1 RE 1 of zone:sis",
        "ASM1 of system:S40",
    ]
    assert (new.system, new.change, new.interim) == ("S40", "MOC-1", "by hand")
    assert (new.answer_from, new.answer_to, new.state) == ("partly", "equivalent", "done")
    assert check(new, plant()) == []
