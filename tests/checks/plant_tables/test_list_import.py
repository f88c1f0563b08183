"""Lists as sites have them: heads of their own, decimal commas, what is not read, files that are no list."""

from __future__ import annotations

import pytest
import yaml

from checks.plant_tables import list_import, matching
from checks.plant_tables.list_import import Choices, ReadList
from checks.plant_tables.matching import Chosen
from checks.plantfile.plant import Plant
from checks.text.faults import Refused
from tests.checks.actions.lists import packed
from tests.checks.given import TEXT, plain_2
from tests.checks.spreadsheets.books import book

EVERYTHING = Plant.model_validate(plain_2())
INDEX = (
    "Instrument index of unit 4;;;;\n"
    "Tag;Service;DU (per million hours);DD (per million hours);Data sheet\n"
    "LT;Level transmitter;0,45;0,85;LT-9 rev 2\n"
    "XV;Valve;1,5;;\n"
)


def _csv(text: str, choices: Choices | None = None, name: str = "index.csv") -> ReadList:
    return list_import.from_bytes(name, text.encode(), choices or Choices())


def test_a_list_of_a_site_is_matched_by_the_names_and_units_of_its_columns() -> None:
    found = _csv(INDEX)
    (table,) = found.matched
    assert (table.sheet, table.head_row) == ("Devices", 2)
    keys = {match.head: match.key for match in table.matches}
    assert keys["Tag"] == "id"
    assert keys["DU (per million hours)"] == "lambda_du_fit"
    assert keys["Data sheet"] == ""
    plant = list_import.onto(EVERYTHING, found).plant
    assert plant is not None
    assert (plant.devices["LT"].lambda_du_fit, plant.devices["LT"].lambda_dd_fit) == (450.0, 850.0)
    assert plant.devices["XV"].lambda_du_fit == 1500.0
    assert found.unread == [("index", "Data sheet")]


def test_a_column_is_corrected_by_hand_and_the_choice_reads_the_next_list() -> None:
    chosen = Choices(Chosen({}, {"Devices": {"Data sheet": "source", "Service": ""}}))
    found = _csv(INDEX, chosen)
    plant = list_import.onto(EVERYTHING, found).plant
    assert plant is not None
    assert (plant.devices["LT"].source, plant.devices["LT"].name) == ("LT-9 rev 2", "")
    again = list_import.choices_of(yaml.safe_load(yaml.safe_dump(found.choices().plain())), "remembered")
    assert _csv(INDEX, again).choices() == found.choices()


def test_a_number_with_two_readings_is_asked_unless_the_list_shows_its_decimal_sign() -> None:
    asked = _csv('Device,Lambda DU\nA,"1,500"\n')
    assert asked.undecided
    assert list_import.onto(EVERYTHING, asked).plant is None
    for sign, expected in (("comma", 1.5), ("point", 1500.0)):
        decided = _csv('Device,Lambda DU\nA,"1,500"\n', Choices(decimal=list_import.SIGNS[sign]))
        plant = list_import.onto(EVERYTHING, decided).plant
        assert plant is not None
        assert plant.devices["A"].lambda_du_fit == expected
    shown = _csv("Device;Lambda DU\nA;1,500\nB;7,5\n")
    assert not shown.undecided
    assert shown.decimal == "comma"


@pytest.mark.parametrize(
    ("name", "raw", "words"),
    [
        ("plant.yaml", TEXT.encode(), "this is a plant file"),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 100, "old XLS file"),
        ("picture.png", b"\x89PNG\r\n\x1a\n\xff\xff", "save the list as an XLSX workbook"),
        ("cut.xlsx", b"PK\x03\x04 nothing", "not a workbook"),
        ("other.csv", b"a,b\n1,2\n", "no table is known"),
        ("empty.csv", b"", "nothing in it"),
    ],
)
def test_a_file_that_is_no_list_says_what_it_is(name: str, raw: bytes, words: str) -> None:
    with pytest.raises(Refused) as refused:
        list_import.from_bytes(name, raw, Choices())
    assert words in "\n".join(refused.value.lines())


def test_a_formula_counts_by_its_stored_value_and_is_refused_without_one() -> None:
    cells = '<row r="1"><c t="str"><v>Device</v></c><c t="str"><v>Lambda DU</v></c></row>'
    cells += '<row r="2"><c t="str"><v>A</v></c><c><f>1+1</f><v>450</v></c></row>'
    cells += '<row r="3"><c t="str"><v>B</v></c><c><f>1+1</f></c></row>'
    found = list_import.from_bytes("f.xlsx", packed(book(cells)), Choices())
    (devices,) = found.entries
    assert devices.values["A"] == [{"lambda_du_fit": 450}]
    assert [(fault.row, fault.found) for fault in devices.faults] == [(3, "the formula =1+1 without a stored value")]


@pytest.mark.parametrize(
    ("data", "place"),
    [
        ([], "(file)"),
        ({"colums": {}}, "colums"),
        ({"sheets": {"Index": "Pumps"}}, "sheets.Index"),
        ({"columns": {"Devices": {"Tag": "tag_no"}}}, "columns.Devices.Tag"),
        ({"decimal": "dot"}, "decimal"),
    ],
)
def test_a_file_of_columns_that_does_not_fit_is_refused_at_its_place(data: object, place: str) -> None:
    with pytest.raises(Refused) as refused:
        list_import.choices_of(data, "map.yaml")
    assert f"map.yaml: {place}: " in "\n".join(refused.value.lines())


@pytest.mark.parametrize(
    ("head", "sheet", "key"),
    [
        ("SIF tag", "Functions", "id"),
        ("Required RRF", "Functions", "target_rrf"),
        ("Proof test interval (months)", "Groups", "proof_test.interval_h"),
        ("proof_test.coverage", "Groups", "proof_test.coverage"),
        ("Prooftest coverage", "Groups", "proof_test.coverage"),
        ("λDU [FIT]", "Devices", "lambda_du_fit"),
        ("SL-T IAC", "Zones", "sl_target.IAC"),
        ("Type", "Devices", "type"),
        ("Device type", "Devices", "id"),
        ("systematic_capability.sc", "Groups", "systematic_capability.sc"),
        ("Colour", "Groups", ""),
    ],
)
def test_heads_are_found_by_key_by_name_and_by_likeness(head: str, sheet: str, key: str) -> None:
    (match,) = matching.matches([head], sheet)
    assert match.key == key
