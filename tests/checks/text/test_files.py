"""A file is read within its bound, and no command writes over what it read."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from pathlib import Path

import pytest

from checks.__main__ import main
from checks.plantfile import plant_file
from checks.text import files
from checks.text.faults import Refused
from demo.load import PLANT
from tests.checks.given import ROOT

LIST = "Device id,lambda DU [FIT]\nPT-9,450\n"


@pytest.mark.parametrize("command", [["score"], ["import", "-o", "/dev/null"], ["import", "--into"]])
def test_a_device_without_an_end_is_refused_by_every_command(
    command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    more = ["/dev/zero"] if command[-1] != "--into" else ["/dev/zero", "-o", "/dev/null", str(PLANT)]
    assert main([*command, *more]) == 2
    assert "/dev/zero: (file): larger than 33 MB" in capsys.readouterr().err


def test_a_file_of_just_the_bound_is_read_and_one_byte_more_is_not(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"x" * 1_000_000)
    assert files.read(path, "a file", 1_000_000) == b"x" * 1_000_000
    with pytest.raises(Refused, match="larger than 0 MB; name a file"):
        files.read(path, "a file", 999_999)


@pytest.mark.parametrize("same", ["name", "link", "other way"])
def test_an_import_never_writes_over_the_plant_file_it_read(
    tmp_path: Path, same: str, capsys: pytest.CaptureFixture[str]
) -> None:
    plant, listed = tmp_path / "plant.yaml", tmp_path / "list.csv"
    plant.write_bytes(PLANT.read_bytes())
    listed.write_text(LIST)
    output = {"name": plant, "link": tmp_path / "linked.yaml", "other way": tmp_path / "x" / ".." / "plant.yaml"}[same]
    (tmp_path / "x").mkdir()
    if same == "link":
        output.symlink_to(plant)
    assert main(["import", str(listed), "-o", str(output), "--into", str(plant)]) == 2
    assert "this is an input of the command; name another file to write" in capsys.readouterr().err
    assert plant.read_bytes() == PLANT.read_bytes()
    assert main(["import", str(listed), "-o", str(tmp_path / "new.yaml"), "--into", str(plant)]) == 0
    assert "PT-9" in plant_file.read(tmp_path / "new.yaml").devices


def test_a_report_never_writes_over_its_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    packed = (ROOT / "tests" / "golden" / "release_4" / "S20-0.json.gz").read_bytes()
    record = tmp_path / "S20.json"
    record.write_bytes(gzip.decompress(packed))
    assert main(["report", str(record), "-o", str(record)]) == 2
    assert "this is an input of the command" in capsys.readouterr().err
    assert record.read_bytes() == gzip.decompress(packed)


def test_a_written_file_is_readable_by_its_owner_only_and_an_existing_one_keeps_its_rights(tmp_path: Path) -> None:
    new, shared = tmp_path / "new", tmp_path / "shared"
    shared.touch(mode=0o640)
    for path in (new, shared):
        files.write(path, b"x")
    assert [oct(path.stat().st_mode & 0o777) for path in (new, shared)] == ["0o600", "0o640"]


def names(folder: Path) -> list[str]:
    """Names of what is in a folder."""
    return [path.name for path in folder.iterdir()]


def replaced(path: Path, data: bytes, and_then: Callable[[], object] = dict) -> None:
    """Replace a file, with something that happens before the new one takes its place."""
    with files.replacing(path) as put:
        put(data)
        and_then()


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "record.json"
    path.write_text("as before")
    path.chmod(0o640)

    def fail() -> None:
        assert path.read_text() == "as before"
        raise KeyError

    with pytest.raises(KeyError):
        replaced(path, b"half", fail)
    assert (path.read_text(), names(tmp_path)) == ("as before", ["record.json"])
    replaced(path, b"whole")
    assert (path.read_text(), names(tmp_path)) == ("whole", ["record.json"])
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_replacing_file_is_readable_by_its_owner_alone_and_a_link_stays_a_link(tmp_path: Path) -> None:
    replaced(tmp_path / "new", b"new")
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o600
    (tmp_path / "link").symlink_to("new")
    replaced(tmp_path / "link", b"newer")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "new").read_text() == "newer"


def test_what_cannot_take_its_place_at_the_end_says_so_and_leaves_nothing_beside(tmp_path: Path) -> None:
    place = tmp_path / "record.json"
    with pytest.raises(Refused, match="name a file that can be written"):
        replaced(place, b"whole", place.mkdir)
    assert names(tmp_path) == ["record.json"]
