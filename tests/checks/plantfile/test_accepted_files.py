"""Unusual but valid plant files are read as intended."""

from __future__ import annotations

import json

import pytest

from checks.__main__ import main
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from tests.checks.given import HERE, SMALLEST, bare_plant, changed, plain, told, valid_plant

UNUSUAL = HERE / "unusual.yaml"


@pytest.fixture(scope="module")
def unusual() -> Plant:
    return plant_file.read(UNUSUAL)


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_an_unusual_file_is_computed(more: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["score", str(UNUSUAL), *more]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert more == [] or set(json.loads(printed.out)["functions"]) == {"off", "on"}


def test_names_of_any_script_and_markup_are_kept_letter_for_letter(unusual: Plant) -> None:
    assert unusual.plant.name == "Usine d'Évry – 化工厂 – مصنع – Завод 🏭"
    assert unusual.plant.note == 'Line one, and line two: "quoted", 50 % & <b>bold</b> | {braces} [brackets] #5'


def test_words_that_other_readers_take_for_something_else_stay_words(unusual: Plant) -> None:
    names = [device.name for device in unusual.devices.values()]
    assert names == ["on", "0123", "no"]
    assert unusual.functions["off"].name == "Yes"
    tags = ["101", "yes", "off", "true", "null", "1.5", "1_000", "0x1F", "12:30", "2oo3", ""]
    assert unusual.groups["12"].tags == tags


def test_numbers_in_quotes_are_text_where_text_belongs(unusual: Plant) -> None:
    assert [device.source for device in unusual.devices.values()] == ["450", "1e-6", "007"]


def test_a_number_as_id_is_the_same_id_with_and_without_quotes(unusual: Plant) -> None:
    assert unusual.groups["12"].channels == [["клапан", "7"], ["клапан", "7"]]
    assert unusual.functions["off"].groups == ["12", "y"]


def test_every_way_to_write_a_number_is_read_as_that_number(unusual: Plant) -> None:
    rates = [(device.lambda_du_fit, device.lambda_dd_fit) for device in unusual.devices.values()]
    assert rates == [(0.5, 850.0), (100.0, 150.0), (900.0, 0.0)]
    assert unusual.functions["off"].target == 1e-6


def test_blocks_left_blank_are_empty(unusual: Plant) -> None:
    assert (unusual.zones, unusual.conduits, unusual.answers) == ({}, {}, [])
    assert unusual.conventions == bare_plant().conventions
    assert unusual.groups["12"].stated_beta is None


def test_the_smallest_plant_has_a_name_and_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    assert told(SMALLEST) == []
    assert plant_file.from_text("smallest", SMALLEST).groups == {}
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("block", ["conventions", "zones", "conduits", "systems", "answers"])
def test_a_block_that_may_be_missing_may_be_blank_too(block: str) -> None:
    blank = plant_file.from_text("blank", f"{SMALLEST}{block}:\n")
    assert blank == plant_file.from_text("missing", SMALLEST)


@pytest.mark.parametrize(
    "edit",
    [
        ("coverage: 1.0, full_interval_h: 87600", "coverage: 1.0"),
        ("coverage: 0.9, full_interval_h: 43800", "coverage: 0.9, full_interval_h: 4380"),
        ("lambda_du_fit: 450", "lambda_du_fit: 0.001"),
        ("lambda_du_fit: 450", "lambda_du_fit: 1000000"),
        (
            "voting: 2oo3\n    channels: [[PT], [PT], [PT]]",
            "voting: 1oo5\n    channels: [[PT], [PT], [PT], [PT], [PT]]",
        ),
        ("channels: [[PT], [PT], [PT]]", "channels: [[PT], [PT, TT], [TT]]"),
        ("channels: [[LS], [LS]]", "channels: [[LS, LS], [LS]]"),
        ("on: 2025-03-04", "on: '2025-03-04'"),
        ("on: 2025-03-04", "on: ''"),
        ("question: PRO1, of: plant", "question: PRO1, of: group:pt-301"),
        ("question: P03, of: plant", "question: P03, of: zone:sis"),
        ("question: P03, of: plant", "question: P03, of: group:pt-301"),
        ("question: SR 7.3, of: zone:sis", "question: SR 7.3, of: group:esv-301"),
        ("beta: 0.05, beta_d: 0.025, source: 2016 report", "beta: 0, beta_d: 1"),
        ("IAC: 3,", "IAC: 0,"),
        ("exposure_rule: graded", "exposure_rule: none"),
        ("functions: [SIF-301]", "functions: []"),
    ],
)
def test_the_limits_of_what_is_allowed_are_accepted(edit: tuple[str, str]) -> None:
    assert told(changed(edit)) == []


def test_a_voting_without_a_printed_factor_is_accepted_where_no_factor_is_used() -> None:
    six = ("voting: 2oo3\n    channels: [[PT], [PT], [PT]]", "voting: 1oo6\n    channels: " + str([["PT"]] * 6))
    for convention in ("pds-2013", "none"):
        assert told(changed(six, ("voting_factor: iec61508-6-2010", f"voting_factor: {convention}"))) == []


def test_the_order_of_the_blocks_does_not_matter() -> None:
    raw = plain()
    assert Plant.model_validate(dict(reversed(raw.items()))) == valid_plant()
