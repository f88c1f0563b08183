"""No record file, or only a part of one: exit status 2, one line, no traceback."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from checks.__main__ import main
from checks.record_files import record_file


def refused(path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """The only line of ``verify`` for a refused file."""
    assert main(["verify", str(path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    (line,) = printed.err.splitlines()
    assert line.startswith(f"{path}: (file): ")
    assert len(line) < 400
    return line.removeprefix(f"{path}: (file): ")


def test_a_file_cut_short_at_any_of_many_places_says_so(
    story_text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "record.json"
    whole = len(story_text.rstrip())
    for length in (*range(0, whole, whole // 150), *range(whole - 40, whole)):
        path.write_text(story_text[:length], encoding="utf-8")
        assert refused(path, capsys) == "the file was cut short; ask for the record again", length
    path.write_text(story_text[:whole], encoding="utf-8")
    assert main(["verify", str(path)]) == 0, "the last line end is no part of the record"


def _again(text: str, name: str) -> str:
    return text.replace(f'"{name}": ', f'"{name}": "x",\n"{name}": ', 1)


def _with(**fields: Any) -> Callable[[str], str]:
    return lambda text: json.dumps({**json.loads(text), **fields})


OTHER = "name a file that `export` wrote"


@pytest.mark.parametrize(
    ("spoil", "why"),
    [
        (lambda text: _again(text, "system"), f"not a record: system listed twice; {OTHER}"),
        (lambda text: _again(text, "signatures"), f"not a record: signatures listed twice; {OTHER}"),
        (lambda text: text.replace('"seq":2', '"seq":2,"seq":2', 1), f"not a record: seq listed twice; {OTHER}"),
        (lambda text: text.replace('"number": 0', '"number": NaN', 1), f"not a record: NaN is no number; {OTHER}"),
        (lambda text: text.replace('"number": 0', '"number": -Infinity', 1), f"not a record: -Infinity is no number; {OTHER}"),
        (lambda _text: "[" * 100_000, f"not a record: nested too deep; {OTHER}"),
        (lambda text: text.replace('"signatures": [', '"signatures": ' + "[" * 50_000, 1), f"not a record: nested too deep; {OTHER}"),
        (lambda _text: '{"record": 1, "a": ' * 90_000, f"not a record: nested too deep; {OTHER}"),
        (lambda text: "\ufeff" + text, "no JSON at line 1; ask for the record again"),
        (lambda text: text.replace(",", ";", 1), "no JSON at line 2; ask for the record again"),
        (lambda _text: "", "the file was cut short; ask for the record again"),
        (lambda _text: " \n\n", "the file was cut short; ask for the record again"),
        (lambda _text: "[]", "not a record: : Input should be a valid dictionary or instance of "),
        (lambda _text: "null", "not a record: : Input should be "),
        (lambda _text: "{}", "not a record: record: Field required"),
        (lambda _text: '{"groups": {}}', "not a record: record: Field required"),
        (_with(record=2), f"not a record: record format 2, this program reads 1; {OTHER}"),
        (_with(record=True), "not a record: record: Input should be a valid integer"),
        (_with(record=1.5), f"not a record: record format 1.5, this program reads 1; {OTHER}"),
        (_with(number="0"), "not a record: number: Input should be a valid integer"),
        (_with(events={}), "not a record: events: Input should be a valid list"),
        (_with(events=[[]]), "not a record: events.0: Input should be a valid dictionary"),
        (_with(events=[{}]), "not a record: digest: Field required"),
        (_with(events=[{"event": 5}]), "not a record: body: Field required"),
        (_with(signatures=[{}]), "not a record: signatures.0.half: Field required"),
        (_with(revision=[]), "not a record: revision: Input should be a valid dictionary"),
        (_with(revision={"a": 2**60}), "not a record: "),
        (_with(more=1), f"not a record: more: Extra inputs are not permitted; {OTHER}"),
        (lambda text: text.replace('"format":1', '"format":1e999', 1), "not a record: "),
        (lambda text: text.replace('"name":"Quillmarch', '"name":"\\ud800', 1), "not a record: "),
        (lambda text: text.replace('"number": 0', '"number": ' + "9" * 5000, 1), "not a record: Exceeds the limit"),
    ],
)  # fmt: skip
def test_what_is_no_record_is_refused_in_one_line(
    small_text: str, spoil: Callable[[str], str], why: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "record.json"
    text = spoil(small_text)
    assert text != small_text
    path.write_text(text, encoding="utf-8")
    assert refused(path, capsys).startswith(why)


@pytest.mark.parametrize(
    "raw",
    [b"\xff\xfe{\x00}\x00", b"\x00" * 5000, b"junk " * 2_000_000, os.urandom(1 << 16), b"PK\x03\x04", b"%PDF-1.7\n", b'{"a"' * 999],
)  # fmt: skip
def test_junk_is_refused_whatever_its_bytes(raw: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "record.json"
    path.write_bytes(raw)
    assert refused(path, capsys)


def test_a_folder_a_missing_file_and_an_endless_one_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert refused(tmp_path, capsys) == "Is a directory; name a record file that can be read"
    assert refused(tmp_path / "none", capsys) == "No such file or directory; name a record file that can be read"
    monkeypatch.setattr(record_file, "LARGEST", 1_000_000)
    assert refused(Path("/dev/zero"), capsys) == "larger than 1 MB; name a record file"


def test_a_name_that_would_act_on_a_terminal_is_shown_as_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a\x1b[31m\nb.json"
    path.write_text('{"record": 1, "\x1b[2J": 1}'.replace("\x1b", "\\u001b"), encoding="utf-8")
    assert main(["verify", str(path)]) == 2
    err = capsys.readouterr().err
    assert "\x1b" not in err
    assert len(err.splitlines()) == 1
