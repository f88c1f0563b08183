"""Invalid lists: all faults are reported at once, with row and column."""

from __future__ import annotations

from typing import Any

import pytest

from tests.checks.actions.drawn import action, in_state
from tests.checks.actions.lists import NAMES, as_file, edited, list_of, new_row, put, table, told, written

KINDS = pytest.mark.parametrize("kind", ["csv", "xlsx"])


@KINDS
@pytest.mark.parametrize(
    ("cells", "line"),
    [
        ({"Due": "31/02/2025"}, "column Due: found '31/02/2025'; write a date as 2025-03-04, 1990 to 2199"),
        ({"Due": "2025-02-29"}, "column Due: found '2025-02-29'; write a date as 2025-03-04, 1990 to 2199"),
        ({"Due": "0225-09-01"}, "column Due: found '0225-09-01'; write a date as 2025-03-04, 1990 to 2199"),
        ({"Due": ""}, "column Due: empty; write a date as 2025-03-04, 1990 to 2199"),
        ({"Due": "2025-03-03"}, "column Due: 2025-03-03 is before 2025-03-04; the day it was raised, or later"),
        ({"Owner": ""}, "column Owner: empty; a role, in at most 200 characters"),
        ({"Owner": " "}, "column Owner: empty; describe it in words"),
        ({"State": "closed"}, "column State: found 'closed'; open or done; close or drop an action in the"),
        ({"State": "dropped"}, "column State: found 'dropped'; open or done; close or drop an action in the"),
        ({"State": "finished"}, "column State: found 'finished'; open or done; close or drop an action in the"),
        ({"What": "something else"}, "column What: found 'something else'; a list does not change this; change it in"),
        ({"Questions": ""}, "column Questions: empty; a list does not change this; change it in the program"),
        ({"Answer_expected": "partly"}, "column Answer expected: found 'partly'; a list does not change this"),
        ({"Evidence": "seen"}, "column Evidence: found 'seen'; a list does not change this; change it in the program"),
        ({"Verifier": "me"}, "column Verifier: found 'me'; a list does not change this; change it in the program"),
        ({"Closed_on": "2025-09-01"}, "column Closed on: found '2025-09-01'; a list does not change this"),
        ({"Raised_on": "2025-09-01"}, "column Raised on: found '2025-09-01'; a list does not change this"),
        ({"Id": "A-099"}, "column Id: found 'A-099'; known ids: A-001 to A-001; leave it empty for a new action"),
        ({"Id": "a-001"}, "column Id: found 'a-001'; known ids: A-001 to A-001; leave it empty for a new action"),
    ],
)
def test_what_a_list_may_not_ask_for_is_told_with_row_and_column(kind: str, cells: dict[str, Any], line: str) -> None:
    (message,) = told(kind, edited(kind, [action()], put(1, **cells)), [action()])
    assert message.startswith(f"row 2, {line}" if kind == "xlsx" else "row 2, ")
    assert line in message


@KINDS
def test_text_that_is_too_long_is_told_by_its_beginning_and_its_length(kind: str) -> None:
    (message,) = told(kind, edited(kind, [action()], put(1, Interim_measure="i" * 2001)), [action()])
    assert (
        message
        == f"row 2, column Interim measure: found '{'i' * 57}' and 1,944 characters more; at most 2000 characters"
    )


@KINDS
@pytest.mark.parametrize(
    ("cells", "line"),
    [
        ({"What": " "}, "column What: empty; what is to be done, in at most 2000 characters"),
        ({"Owner": ""}, "column Owner: empty; a role, in at most 200 characters"),
        ({"Due": ""}, "column Due: empty; write a date as 2025-03-04, 1990 to 2199"),
        ({"System": "S99"}, "column System: S99 is not among the systems; known systems: S30, S40"),
        ({"System": "S 30"}, "column System: found 'S 30'; the id of a safety system, or nothing"),
        ({"Questions": "SEP4"}, "column Questions: found 'SEP4'; as in SEP1 of group:pt-301; PRO1 of plant"),
        ({"Questions": "SEP4 of pt-301"}, "column Questions: found 'pt-301'; as in SEP1 of group:pt-301"),
        ({"Questions": "FOO of plant"}, "column Questions: FOO is in no bank; ids as in the banks"),
        ({"Questions": "SEP4 of group:gone"}, "column Questions: group:gone does not exist; known groups: pt-301"),
        ({"Questions": "PRO1 of plant; " * 101}, "column Questions: found 'PRO1 of plant; PRO1"),
        ({"Questions": "PRO1 of plant;PRO1 of plant"}, "column Questions: PRO1 of plant occurs 2 times; each once"),
        ({"Answer_from": "yes"}, "column Answer from: found 'yes'; met, partly, not-met, unknown, equivalent or"),
        ({"Questions": "PRO1 of plant", "Answer_expected": "not-met"}, "column Answer expected: not-met is no better"),
        ({"State": "closed"}, "column State: found 'closed'; open or done; close or drop an action in the"),
        ({"Evidence": "seen"}, "column Evidence: found 'seen'; leave it empty for a new action"),
        ({"Raised_by": "me"}, "column Raised by: found 'me'; leave it empty for a new action"),
        ({"Due": "2025-09-30"}, "column Due: 2025-09-30 is before 2025-10-01; the day it was raised, or later"),
    ],
)
def test_what_no_new_action_can_be_is_told_with_row_and_column(kind: str, cells: dict[str, Any], line: str) -> None:
    (message,) = told(kind, list_of(kind, new_row(**cells)))
    assert message.startswith(f"row 2, {line}")


@KINDS
def test_every_fault_of_every_row_is_told_at_once_and_nothing_is_asked_for(kind: str) -> None:
    rows = table(kind, written(kind, [action(), action(id="A-002", what="another")]))
    put(1, Due="soon", Owner="", What="changed")(rows)
    put(2, State="closed", Interim_measure="good")(rows)
    bad = new_row(What="", Due="tomorrow", System="S99", Questions="FOO of plant", State="shut", Verifier="me")
    raw = as_file(kind, [*rows, [], bad, new_row()])
    places = [line.partition(":")[0] for line in told(kind, raw, [action(), action(id="A-002", what="another")])]
    wrong = [(2, ("Due", "Owner", "What")), (3, ("State",))]
    wrong += [(5, ("Due", "Questions", "State", "System", "Verifier", "What"))]
    assert sorted(places) == [f"row {row}, column {name}" for row, names in wrong for name in names]


@KINDS
@pytest.mark.parametrize("state", ["closed", "dropped"])
def test_an_ended_action_is_not_changed_by_a_list(kind: str, state: str) -> None:
    for cells in ({"Owner": "somebody"}, {"State": "open"}, {"Due": "2026-01-31", "Interim_measure": "x"}):
        (message,) = told(kind, edited(kind, [in_state(state)], put(1, **cells)), [in_state(state)])
        assert message == f"row 2, column Id: A-001 is {state}; reopen it in the program before changing it"


def test_the_span_of_known_ids_is_told_by_number() -> None:
    present = [action(id="A-1000"), action(id="A-999", what="another")]
    (message,) = told("csv", list_of("csv", new_row(Id="A-1001")), present)
    assert "known ids: A-999 to A-1000;" in message


@KINDS
def test_the_same_action_in_two_rows_is_refused(kind: str) -> None:
    rows = table(kind, written(kind, [action()]))
    lines = told(kind, as_file(kind, [*rows, rows[1], new_row(), new_row()]), [action()])
    assert lines == [
        "row 3, column Id: A-001 is in row 2 already; each action in one row",
        "row 5, column What: the same as row 4; each action in one row",
    ]


@KINDS
def test_a_new_row_that_says_what_a_known_action_says_must_name_it_to_change_it(kind: str) -> None:
    closed_action = in_state("closed", what="Test the restore", system=None, questions=[])
    (message,) = told(kind, list_of(kind, new_row()), [closed_action])
    assert message.startswith("row 2, column What: the same as A-001, which is closed; write A-001 as its id to change")


@KINDS
def test_unknown_and_doubled_columns_and_cells_beside_the_list_are_refused(kind: str) -> None:
    rows = [[*NAMES, "Remarks", "Due", None], [*new_row(), "mine", "", "beside"]]
    lines = told(kind, as_file(kind, rows))
    assert [line.partition(";")[0] for line in lines] == [
        "row 1, column Remarks: unknown column",
        "row 1, column Due: listed twice",
        "row 2, column 25: found 'beside'",
    ]


@KINDS
def test_a_file_without_a_head_says_which_columns_there_are(kind: str) -> None:
    (message,) = told(kind, as_file(kind, [["id", "what"], ["", "x"]]))
    assert message == f"(file): no row with the column names Id and What; columns of the list: {', '.join(NAMES)}"
