"""A redundant element inside a channel in a cell: written, read in several forms, refused at its cell, and kept by a list without it."""

from __future__ import annotations

import pytest

from checks.plant_tables import list_import, preview, rows
from checks.plant_tables.cell_lists import value, written
from checks.plant_tables.cell_values import Reading, Unreadable
from checks.plant_tables.list_import import Choices
from checks.plantfile.plant import Plant
from tests.checks.given import ELEMENT, plain_2, plain_with_element
from tests.checks.plant_tables.tables import changed, through_workbook

PLANT = Plant.model_validate(plain_with_element())
TEXT = "SOV+ESV; 1oo2 of SOV, SOV (beta 0.1, beta_d 0.05, source site study)+ESV"
ESV = list(PLANT.groups).index("esv")


def _read(text: str) -> object:
    return value("channels", text, Reading())[-1][0]


def test_it_stands_in_the_cell_of_the_channels_and_is_read_again() -> None:
    assert rows.of_sheet(PLANT, "Groups")[ESV]["channels"] == TEXT
    assert value("channels", TEXT, Reading()) == [["SOV", "ESV"], [ELEMENT, "ESV"]]
    assert through_workbook(PLANT, PLANT).plant == PLANT


STATED = ELEMENT["stated_beta"]
FORMS = [
    ("2oo2 of SOV, ESV", {"voting": "2oo2", "of": ["SOV", "ESV"]}),
    ("1oo2 of SOV,SOV (beta 10 %, beta_d 5 %, source site study)", ELEMENT),
    (
        'A; 1oo2 of SOV, SOV (beta 0.1 of group, beta_d 0.05, source "a; b + (c)")',
        {**ELEMENT, "stated_beta": {"beta": 0.1, "beta_d": 0.05, "of": "group", "source": "a; b + (c)"}},
    ),
    (
        "1oo2 of SOV, SOV (beta 0.1, beta_d 0.05)",
        {**ELEMENT, "stated_beta": {"beta": 0.1, "beta_d": 0.05, "source": ""}},
    ),
]


@pytest.mark.parametrize(("text", "element"), FORMS)
def test_a_cell_may_say_it_in_these_forms(text: str, element: object) -> None:
    assert _read(text) == element
    assert _read(written("channels", [[element]])) == element


@pytest.mark.parametrize(
    "text", ["1oo2 of", "two of SOV, SOV", "1oo2 of SOV, SOV (beta 0.1)", "1oo2 of SOV, SOV (0.1)"]
)
def test_what_is_neither_a_device_nor_an_element_is_refused(text: str) -> None:
    with pytest.raises(Unreadable, match="no device and no redundant element"):
        _read(text)


BLANKS = " " * 20_000


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("channels", f"1oo2 of{BLANKS}x("),
        ("channels", f"1oo2 of A (beta{BLANKS}(("),
        ("channels", f"1oo2 of A (beta 1{BLANKS}of{BLANKS}group{BLANKS}x("),
        ("channels", f"1oo2 of A (beta 1, beta_d 1, source{BLANKS}x"),
        ("groups", f"any of{BLANKS}x("),
    ],
)
def test_a_cell_of_many_blanks_is_refused_at_once_and_in_short(key: str, text: str) -> None:
    """Far below a second; an expression that tries every split of the blanks takes hours."""
    with pytest.raises(Unreadable) as refused:
        value(key, text, Reading())
    assert len(str(refused.value)) < 120


FAULTS = [
    ("SOV+ESV; 1oo2 of SOV, SOV+ESV", "no questions are asked of an element"),
    ("SOV+ESV; 1oo2 of SOV, SOV (beta 0.1, beta_d 0.1)+ESV", "requires the source"),
    ("SOV+ESV; 1oo2 of SOV, XX (beta 0.1, beta_d 0.1, source s)+ESV", "XX is not among the devices"),
    (
        "SOV+ESV; 1oo2 of (SOV, SOV)+ESV",
        "a redundant element as in 1oo2 of SOV, SOV (beta 0.1, beta_d 0.1, source site study)",
    ),
]


@pytest.mark.parametrize(("text", "words"), FAULTS)
def test_what_does_not_fit_is_refused_at_its_cell(text: str, words: str) -> None:
    found = changed(PLANT, "Groups", ESV, channels=text)
    assert found.plant is None
    assert any(fault.place.endswith(", channels") and words in str(fault) for fault in found.faults), found.faults


def test_annex_b_refuses_it_at_its_cell() -> None:
    found = changed(Plant.model_validate(plain_2()), "Groups", ESV, channels=TEXT)
    assert any("use timeline" in fault.allowed and fault.key == "channels" for fault in found.faults)


def test_a_list_without_the_column_keeps_it() -> None:
    found = list_import.onto(PLANT, list_import.from_bytes("names.csv", b"Group,Name\nesv,Valves\n", Choices()))
    assert found.plant is not None
    assert (found.plant.groups["esv"].name, found.plant.groups["esv"].elements) == (
        "Valves",
        PLANT.groups["esv"].elements,
    )


def test_a_change_of_it_is_named_before_it_is_stored() -> None:
    after = changed(PLANT, "Groups", ESV, channels=TEXT.replace("beta 0.1", "beta 0.2")).plant
    assert after is not None
    _, (only,), _ = preview.changes(PLANT, after)
    assert only.fields == (("channels", TEXT, TEXT.replace("beta 0.1", "beta 0.2")),)
