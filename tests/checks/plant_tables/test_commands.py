"""``python -m checks import``: a list to a plant file, refusals on standard error."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.__main__ import main
from checks.plant_tables import template
from checks.plantfile import plant_file
from tests.checks.given import FORMAT_2, VALID

EVERYTHING = plant_file.read(FORMAT_2)
LIST = "Device;Lambda DU [FIT];Maker\nLT;450;x\n"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def _files(**contents: str) -> None:
    for name, text in contents.items():
        Path(name.replace("_", ".")).write_text(text, encoding="utf-8")


def test_a_workbook_becomes_a_plant_file_of_format_2(capsys: pytest.CaptureFixture[str]) -> None:
    Path("own.xlsx").write_bytes(template.of_plant(EVERYTHING))
    assert main(["import", "own.xlsx", "-o", "plant.yaml"]) == 0
    assert "new" in capsys.readouterr().out
    written = plant_file.read(Path("plant.yaml"))
    assert written.format == 2
    assert written == EVERYTHING.model_copy(update={"answers": []})


def test_a_list_goes_into_a_plant_file_that_keeps_what_it_does_not_name(capsys: pytest.CaptureFixture[str]) -> None:
    _files(list_csv=LIST)
    assert main(["import", "list.csv", "--into", str(FORMAT_2), "-o", "plant.yaml"]) == 0
    printed = capsys.readouterr().out
    assert "1 new, 0 changed, 0 gone" in printed
    assert "note: column Maker of list is not read" in printed
    written = plant_file.read(Path("plant.yaml"))
    assert written.devices["LT"].lambda_du_fit == 450.0
    assert {**written.devices, "LT": None} == {**EVERYTHING.devices, "LT": None}
    assert written.answers == EVERYTHING.answers


def test_a_file_of_columns_says_how_the_list_is_read() -> None:
    _files(list_csv=LIST, map_yaml="columns: {Devices: {Maker: source}}\ndecimal: comma\n")
    assert main(["import", "list.csv", "--columns", "map.yaml", "-o", "plant.yaml"]) == 0
    assert plant_file.read(Path("plant.yaml")).devices["LT"].source == "x"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["bad.csv"], "bad.csv: Devices, row 2, lambda_du_fit: x: no number"),
        (["none.csv"], "none.csv: (file): No such file"),
        ([str(VALID)], "this is a plant file"),
        (["list.csv", "--into", "list.csv"], "list.csv: "),
        (["list.csv", "--columns", "bad.yaml"], "bad.yaml: decimal: found dot"),
        ([], "import: (command): no list is named"),
    ],
)
def test_what_is_refused_is_listed_on_standard_error_and_nothing_is_written(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    _files(list_csv=LIST, bad_csv="Device;Lambda DU\nA;x\n", bad_yaml="decimal: dot\n")
    assert main(["import", *arguments, "-o", "plant.yaml"]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert words in printed.err
    assert not Path("plant.yaml").exists()


def test_the_template_is_written_and_brings_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", "--template", "-o", "template.xlsx"]) == 0
    assert main(["import", "template.xlsx", "--into", str(FORMAT_2), "-o", "plant.yaml"]) == 0
    assert "0 new, 0 changed, 0 gone" in capsys.readouterr().out
    assert plant_file.read(Path("plant.yaml")) == EVERYTHING
