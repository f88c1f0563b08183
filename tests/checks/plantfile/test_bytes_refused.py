"""Files that are not UTF-8 text, and paths that are not files."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from checks.__main__ import main
from checks.text import yaml_text
from tests.checks.given import TEXT, changed, told

NAME = "name: Control system"


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (TEXT.encode("utf-16"), "not UTF-8"),
        (TEXT.encode("utf-16-be"), "not readable as YAML"),
        (TEXT.encode("utf-16-le"), "not readable as YAML"),
        (TEXT.encode("utf-32"), "not UTF-8"),
        (changed((NAME, "name: Säurestraße")).encode("latin-1"), "save the file as UTF-8"),
        (changed((NAME, "name: Abfüllung – Süd")).encode("cp1252"), "save the file as UTF-8"),
        (changed((NAME, "name: Котельная")).encode("cp1251"), "save the file as UTF-8"),
        (changed((NAME, "name: a\0b")).encode(), "not readable as YAML"),
        (changed((NAME, "name: a\x07b")).encode(), "not readable as YAML"),
        (TEXT.encode()[:-2] + b"\xe2\x80", "not UTF-8"),
        (b"\xff", "byte 0"),
        (b"PK\x03\x04\x14\x00\x06\x00\x08\x00\x00\x00!\x00\xb5", "this is a spreadsheet; bring it under Bring a list"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not UTF-8"),
        (b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n", "not readable as YAML"),
        (b"\x1f\x8b\x08\x00\x00\x00", "not UTF-8"),
        (b"<html><body>Not found</body></html>\n", "no mapping at the top"),
        (b"device;lambda_du_fit\r\nPT;450\r\n", "no mapping at the top"),
        (b"\x00" * 64, "not readable as YAML"),
        (codecs.BOM_UTF8, "nothing in it"),
        (b" \t\n \t\n", "(file)"),
    ],
)
def test_bytes_that_are_no_plant_file_are_refused_in_one_line(raw: bytes, words: str) -> None:
    lines = told(raw)
    assert len(lines) == 1
    assert lines[0].startswith("FILE: (file)")
    assert words in lines[0]


def test_the_line_of_the_first_byte_that_is_no_text_is_named() -> None:
    raw = changed((NAME, "name: Säure")).encode("latin-1")
    number = raw[: raw.index(b"\xe4")].count(b"\n") + 1
    assert f"(line {number})" in told(raw)[0]


def test_a_byte_order_mark_and_other_line_ends_are_accepted() -> None:
    assert told(codecs.BOM_UTF8 + TEXT.encode()) == []
    assert told(TEXT.replace("\n", "\r\n")) == []


def test_a_file_that_is_too_large_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml_text, "MOST_BYTES", 1000)
    lines = told(b"x" * 1001)
    assert len(lines) == 1
    assert "1,001 bytes; at most 1,000 bytes" in lines[0]


def test_a_missing_file_is_reported_in_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "no such plant.yaml"
    assert main(["score", str(path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"{path}: (file): ")
    assert printed.err.count("\n") == 1


def test_a_folder_is_reported_in_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["score", str(tmp_path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"{tmp_path}: (file): ")
    assert printed.err.count("\n") == 1
