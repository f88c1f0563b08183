"""Zones and gaps: filters, the CSV file, and the map."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from checks.assessment.cautions import CAUTIONS, method
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.spreadsheets.cells import as_csv, guarded
from tests.checks.given import every_topic, plain
from tests.checks.journal.stored import plant_data
from tests.pages.shown import Handed, Holding, Screen, chart, fine, rows, said, where, written_in

BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def read_csv(raw: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))


@pytest.mark.usefixtures("store")
def test_a_filter_shows_the_matching_gaps(screen: Screen) -> None:
    at = fine(screen("zones", zone="Z5"))
    gaps = rows(at, "Gaps of")
    cases: list[tuple[str, list[str], Any]] = [
        ("filter_fr", ["SI"], lambda row: "SI" in row["FR"].split(", ")),
        ("filter_weight", ["3", "1"], lambda row: row["Weight"] in ("3", "1")),
        ("filter_answer", ["Partly"], lambda row: row["Answer"] == "Partly"),
    ]
    left = gaps
    for key, chosen, fits in cases:
        fine(at.multiselect(key=key).set_value(chosen).run())
        left = [row for row in left if fits(row)]
        assert rows(at, "Gaps of") == left
        assert f"{len(left)} of {len(gaps)} gaps." in said(at)
    for key, _, _ in cases:
        at.multiselect(key=key).set_value([])
    fine(at.run())
    assert rows(at, "Gaps of") == gaps


@pytest.mark.usefixtures("store")
def test_two_chosen_requirements_show_the_gaps_of_either(screen: Screen) -> None:
    at = fine(screen("zones", zone="Z5"))
    gaps = rows(at, "Gaps of")
    fine(at.multiselect(key="filter_fr").set_value(["SI", "RA"]).run())
    assert rows(at, "Gaps of") == [row for row in gaps if {"SI", "RA"} & set(row["FR"].split(", "))]


def test_a_filter_without_matches_shows_an_empty_list(store: Store, screen: Screen, handed_over: Handed) -> None:
    at = fine(screen("zones", zone="Z5"))
    at.multiselect(key="filter_weight").set_value(["1"])
    fine(at.multiselect(key="filter_fr").set_value(["DC"]).run())
    assert rows(at, "Gaps of") == []
    assert "0 of 28 gaps." in said(at)
    assert method(plant_data(store, 1)) in [line[0] for line in read_csv(handed_over("gaps-Z5.csv"))]


@pytest.mark.usefixtures("store")
def test_a_filter_that_is_set_does_not_break_the_next_zone(screen: Screen) -> None:
    at = fine(screen("zones", zone="Z5"))
    answers = at.multiselect(key="filter_answer").options
    at.multiselect(key="filter_answer").set_value(list(answers)).run()
    for zone in ("Z7", "Z1", "Z8", "Z5"):
        fine(at.selectbox(key="choose_zone").set_value(zone).run())
        assert where(at, "zone") == zone


def test_the_file_contains_the_cautions_and_the_shown_gaps(store: Store, screen: Screen, handed_over: Handed) -> None:
    at = fine(screen("zones", zone="Z5"))
    raw = handed_over("gaps-Z5.csv")
    assert raw.startswith(BYTE_ORDER_MARK)
    assert not raw[3:].startswith(BYTE_ORDER_MARK)
    lines, shown = read_csv(raw), rows(at, "Gaps of")
    lead = ["Quillmarch Works, zone Z5", "invented data - not for use", method(plant_data(store, 1)), *CAUTIONS]
    assert lines[: len(lead)] == [[line] for line in lead]
    assert lines[len(lead)] == list(shown[0])
    assert lines[len(lead) + 1 :] == [list(row.values()) for row in shown]
    assert raw.endswith(b"\r\n")


@pytest.mark.usefixtures("store")
def test_the_file_contains_the_filtered_gaps(screen: Screen, handed_over: Handed) -> None:
    at = fine(screen("zones", zone="Z5"))
    fine(at.multiselect(key="filter_answer").set_value(["Partly"]).run())
    shown = rows(at, "Gaps of")
    assert 0 < len(shown) < 28
    assert read_csv(handed_over("gaps-Z5.csv"))[-len(shown) :] == [list(row.values()) for row in shown]


def test_a_downloaded_gap_list_is_recorded_in_the_journal(store: Store, screen: Screen, handed_over: Handed) -> None:
    fine(screen("zones", zone="Z5"))
    handed_over("gaps-Z5.csv")
    (kept,) = store.events(1, kinds=("export",))
    assert kept.body == '{"what":"gaps of Z5, CSV"}'


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", " =", "  +", "'="])
def test_a_cell_that_a_spreadsheet_would_compute_is_text(start: str) -> None:
    assert guarded(f"{start}1+1") == f"'{start}1+1"


@pytest.mark.parametrize("cell", ["", "Z01", "–", "1 = 2", "a-b", "x@y"])
def test_a_cell_that_a_spreadsheet_would_not_compute_stays_as_it_is(cell: str) -> None:
    assert guarded(cell) == cell


def test_lead_head_and_cells_of_a_file_are_all_guarded() -> None:
    raw = as_csv([{"=head": "@cell", "b": 'with "quotes", commas\nand lines'}], ["+lead"])
    assert read_csv(raw) == [["'+lead"], ["'=head", "b"], ["'@cell", 'with "quotes", commas\nand lines']]


def test_a_plant_named_like_a_formula_puts_no_formula_into_the_file(
    holding: Holding, screen: Screen, handed_over: Handed
) -> None:
    raw = plain()
    raw["plant"] = {"name": '=HYPERLINK("https://example.invalid")', "note": "@SUM(A1)"}
    raw["answers"] = [answer.model_dump() for answer in every_topic("zone:sis", "not-met")]
    holding(Plant.model_validate(raw))
    fine(screen("zones", zone="sis"))
    cells = [cell for line in read_csv(handed_over("gaps-sis.csv")) for cell in line]
    assert "'@SUM(A1)" in cells
    assert not [cell for cell in cells if cell.lstrip().startswith(("=", "+", "-", "@"))]


def test_the_screen_begins_with_the_safety_zone_that_has_most_gaps(store: Store, screen: Screen) -> None:
    at = fine(screen("zones"))
    assert at.selectbox(key="choose_zone").value == "Z5"
    assert plant_data(store, 1).zones["Z5"].safety_related


def test_a_zone_that_was_never_reviewed_says_so_and_has_no_gap_list(store: Store, screen: Screen) -> None:
    at = fine(screen("zones", zone="Z1"))
    assert (
        "Not reviewed: no topic of this zone has been answered. Its gaps are not known; assume the worse state."
        in said(at)
    )
    assert "No programmable group lies in this zone: its compromise defeats no function directly." in said(at)
    assert plant_data(store, 1).zones["Z1"].sl_target == {}


def test_the_map_shows_every_zone_conduit_and_what_lies_outside(store: Store, screen: Screen) -> None:
    texts = written_in(chart(fine(screen("zones"))))
    plant = plant_data(store, 1)
    for key, zone in plant.zones.items():
        on_lines = f"{key}{zone.name}".replace(" ", "")
        assert any(text.replace(" ", "").startswith(on_lines) for text in texts)
    assert set(plant.conduits) <= set(texts)
    assert any(text.startswith("outside") for text in texts)


def test_of_a_plant_with_many_zones_the_neighbourhood_of_the_chosen_one_is_drawn(
    holding: Holding, screen: Screen
) -> None:
    raw = plain()
    raw["zones"] |= {f"cell-{at}": {"name": f"Cell {at}"} for at in range(45)}
    raw["conduits"] |= {f"N{at}": {"between": ["cell-0", f"cell-{at}"], "flow": "read"} for at in range(1, 21)}
    raw["conduits"]["N99"] = {"between": ["cell-20", "cell-40"], "flow": "read"}
    holding(Plant.model_validate(raw))
    at = fine(screen("zones", zone="cell-0"))
    drawn = {text for text in written_in(chart(at)) if text.startswith(("cell-", "N"))}
    assert len([text for text in drawn if text.startswith("N")]) == 16
    assert {text.split("Cell")[0] for text in drawn if text.startswith("cell-")} == {f"cell-{n}" for n in range(17)}
    assert "Not drawn: 4 more zones one conduit away and 27 zones farther away; the table below lists all." in said(at)
    few = fine(screen("zones", zone="cell-40"))
    names = {text.split("Cell")[0] for text in written_in(chart(few)) if text.startswith("cell-")}
    assert names == {"cell-40", "cell-20"}
    assert "1 zone that one conduit joins to it. Not drawn: 46 zones farther away" in said(few)
    assert len(rows(few, "All zones")) == 48
