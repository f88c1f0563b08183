"""The exported list of actions, read with the csv module and with openpyxl, holds its values as text."""

from __future__ import annotations

import io
from datetime import date, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook
from openpyxl.utils.escape import unescape

from checks.actions.action_list import to_csv, to_xlsx
from checks.actions.action_rules import Action
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import guarded, visible
from tests.checks.actions.drawn import TODAY, action, actions, in_state
from tests.checks.actions.lists import NAMES, assessment, plant, table, written
from tests.checks.draws import MARKUP
from tests.checks.given import assessed, plain

TRICKS = (
    *MARKUP,
    '=HYPERLINK("https://example.invalid")',
    "@SUM(A1)",
    "+1",
    "-1",
    "\t=1",
    "\r=1",
    " =1",
    "#N/A",
    "../../etc/passwd",
    "C:\\Windows\\win.ini",
    "\\\\example.invalid\\share",
    "file:///etc/passwd",
    "xl/worksheets/sheet1.xml",
    "_x0041_",
    "\x02\x01\x1b[31m",
    "</t></is></c>",
    "]]>",
    "&amp;lt;",
    "=" + "9" * 400,
)


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_head_stands_there_even_without_actions(kind: str) -> None:
    assert table(kind, written(kind, [])) == [NAMES]


@pytest.mark.parametrize("trick", TRICKS, ids=range(len(TRICKS)))
def test_a_trick_in_every_text_stays_text_in_both(trick: str) -> None:
    text = trick if trick.strip() else f"'{trick}"
    closed_action = in_state("closed", what=text, owner=text[:200], interim=text, change=text[:200], evidence=text)
    _, row = table("csv", written("csv", [closed_action]))
    assert row[1] == row[9] == guarded(text)
    assert [cell for cell in row if cell.lstrip().startswith(("=", "+", "-", "@")) and cell == text] == []
    sheet = load_workbook(io.BytesIO(written("xlsx", [closed_action])))["Actions"]
    assert unescape(sheet["B2"].value) == unescape(sheet["J2"].value) == visible(text)
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"s", "n", "d"}
    assert sheet["B2"].data_type == "s"
    assert sheet["B2"].hyperlink is None


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(actions(), max_size=3))
def test_both_hold_every_text_of_every_action(several: list[Action]) -> None:
    listed = [
        drawn_action.model_copy(update={"id": f"A-{number:03d}"})
        for number, drawn_action in enumerate(several, start=1)
    ]
    in_csv, in_xlsx = table("csv", written("csv", listed)), table("xlsx", written("xlsx", listed))
    assert in_csv[0] == in_xlsx[0] == NAMES
    for listed_action, row, cells in zip(listed, in_csv[1:], in_xlsx[1:], strict=True):
        for name in ("id", "what", "owner", "interim", "change", "reason", "raised_by", "evidence", "verifier"):
            at = NAMES.index(name.replace("_", " ").capitalize() if name not in LONG else LONG[name])
            assert row[at] == guarded(getattr(listed_action, name))
            assert unescape(cells[at] or "") == visible(getattr(listed_action, name))


LONG = {"interim": "Interim measure", "change": "Change reference"}


def test_days_are_days_and_counts_are_numbers_in_the_workbook() -> None:
    sheet = load_workbook(io.BytesIO(written("xlsx", [in_state("closed", reopened=2)])))["Actions"]
    by_name = {head.value: cell for head, cell in zip(sheet[1], sheet[2], strict=True)}
    for name, day in {"Due": (2025, 9, 1), "Raised on": (2025, 3, 4), "Closed on": (2025, 8, 1)}.items():
        assert by_name[name].is_date
        assert by_name[name].value == datetime(*day)  # noqa: DTZ001  (a workbook knows no time zone)
        assert by_name[name].number_format == "yyyy-mm-dd"
    assert (by_name["Age in days"].value, by_name["Times reopened"].value) == (150, 2)


def test_the_head_is_frozen_and_a_second_sheet_holds_method_and_cautions() -> None:
    book = load_workbook(io.BytesIO(written("xlsx", [action()])))
    assert book.sheetnames == ["Actions", "About"]
    assert book["Actions"].freeze_panes == "B2"
    assert all(book["Actions"].column_dimensions[letter].width > 5 for letter in "ABCDEFGHIJKLMNOPQRSTU")
    about = [row[0] for row in book["About"].iter_rows(values_only=True)]
    assert {"Quillmarch Works", "invented data - not for use", method(plant()), *CAUTIONS} <= set(about)


def test_cautions_method_and_plant_stand_above_the_csv_list() -> None:
    raw = written("csv", [action()])
    assert raw.startswith(b"\xef\xbb\xbfQuillmarch Works\r\n")
    above = raw.decode("utf-8-sig").partition("Id,What")[0]
    assert all(line in above for line in (method(plant()), *CAUTIONS, "Actions on 2025-10-01"))


def test_a_plant_with_the_name_of_a_formula_leaves_no_formula_in_either() -> None:
    raw = plain()
    raw["plant"] = {"name": '=HYPERLINK("https://example.invalid")', "note": "@SUM(A1)"}
    named = Assessment(Plant.model_validate(raw))
    lines = to_csv([], named, today=TODAY).decode("utf-8-sig").splitlines()
    assert lines[:2] == ['"\'=HYPERLINK(""https://example.invalid"")"', "'@SUM(A1)"]
    about = load_workbook(io.BytesIO(to_xlsx([], named, today=TODAY)))["About"]
    assert [about["A1"].data_type, about["A2"].data_type] == ["s", "s"]


def test_the_effect_names_the_functions_that_move_and_an_ended_action_forecasts_nothing() -> None:
    asked = [{"question": name, "of": "group:esv-301"} for name in assessment().banks.common_cause]
    rows = [in_state(state, questions=asked) for state in ("open", "closed", "dropped")]
    at = NAMES.index("Expected effect")
    effects = [row[at] for row in table("csv", to_csv(rows, assessed(), today=TODAY))[1:]]
    assert effects[0].startswith("SIF-301: RRF ")
    assert effects[1:] == ["–", "–"]


def test_an_overdue_action_says_so_and_how_old_it_is() -> None:
    rows = table("csv", to_csv([action()], assessment(), today=date(2025, 9, 2)))
    assert dict(zip(*rows, strict=True))["Overdue"] == "yes"
    assert dict(zip(*rows, strict=True))["Age in days"] == "182"  # 27 + 30 + 31 + 30 + 31 + 31 + 2
