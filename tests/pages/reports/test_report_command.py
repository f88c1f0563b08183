"""``python -m checks report``: what it writes, what it refuses, and how it ends."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from checks.__main__ import main
from tests.checks.given import ROOT, valid_plant
from tests.pages.reports.recorded import Keeping


@pytest.fixture(scope="module")
def record_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record file."""
    kept = Keeping(tmp_path_factory.mktemp("record"), valid_plant())
    kept.put_up("S30")
    return kept.file("S30")


def run(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    status = main(["report", *map(str, arguments)])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def test_the_report_is_written_and_named(record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "S30.pdf"
    assert run(capsys, record_path, "-o", path) == (0, f"safety report, revision 0 of S30, is in {path}\n", "")
    metadata = PdfReader(path).metadata
    assert metadata is not None
    assert metadata.title == "Safety report: S30, revision 0, Quillmarch Works"


def test_the_annex_is_written_for_its_reader(
    record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "S30.pdf"
    status, out, _ = run(capsys, record_path, "--annex", "--reader", " SR-1,  reviewer ", "-o", path)
    assert (status, out) == (0, f"security annex for SR-1, reviewer, revision 0 of S30, is in {path}\n")
    assert "for: SR-1, reviewer" in PdfReader(path).pages[0].extract_text()


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (["--annex"], "--reader: missing; an annex names its recipient on every page: say who it is for"),
        (["--annex", "--reader", "  "], "--reader: missing; an annex names its recipient on every page"),
        (["--reader", "SR-1"], "--reader: not for the safety report; add --annex, or leave it out"),
    ],
)
def test_an_annex_without_a_reader_and_a_reader_without_an_annex_are_refused(
    record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], why: str
) -> None:
    path = tmp_path / "S30.pdf"
    status, out, err = run(capsys, record_path, *more, "-o", path)
    assert (status, out) == (2, "")
    assert why in err
    assert not path.exists()


def test_a_place_that_cannot_be_written_ends_with_one_line(
    record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for path in (tmp_path, tmp_path / "nowhere" / "S30.pdf"):
        status, out, err = run(capsys, record_path, "-o", path)
        assert (status, out, err.count("\n")) == (2, "", 1)
        assert str(path) in err


def test_a_record_that_was_changed_is_not_printed(
    record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw = record_path.read_text(encoding="utf-8")
    changed, path = tmp_path / "changed.json", tmp_path / "S30.pdf"
    for old, new in (
        ('"value":"partly"', '"value":"met"'),
        ('"mttr_h":24.0', '"mttr_h":8.0') if '"mttr_h":24.0' in raw else ('"mttr_h":24', '"mttr_h":8'),
    ):
        assert old in raw
        changed.write_text(raw.replace(old, new, 1), encoding="utf-8")
        status, out, err = run(capsys, changed, "-o", path)
        assert (status, out, err.count("\n")) == (1, "", 1)
        assert "changed" in err
        assert not path.exists()


def test_what_is_no_record_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "other.json").write_text("{}")
    for path in (tmp_path / "other.json", tmp_path / "missing.json", ROOT / "README.md"):
        status, out, err = run(capsys, path, "-o", tmp_path / "S30.pdf")
        assert (status, out, err.count("\n")) == (2, "", 1)


@pytest.mark.parametrize(
    ("block", "name", "entry", "message"),
    [
        (
            "banks",
            "cyber",
            {"edition": "edition-9"},
            "this program has no edition edition-9 of the question bank cyber",
        ),
        ("methods", "redundancy_method", {"id": "annex-b", "edition": 9}, "no redundancy method annex-b edition 9"),
        (
            "methods",
            "exposure_rule",
            {"id": "later", "edition": 1},
            "this program has no exposure rule later edition 1",
        ),
    ],
)
def test_a_record_of_a_newer_release_is_refused(
    record_path: Path, capsys: pytest.CaptureFixture[str], block: str, name: str, entry: dict[str, Any], message: str
) -> None:
    newer = record_path.with_name("newer.json")
    record = json.loads(record_path.read_text())
    record["revision"]["facts"][block][name] |= entry
    newer.write_text(json.dumps(record))
    for command in (["verify"], ["report", "-o", str(record_path.with_name("newer.pdf"))]):
        assert main([command[0], str(newer), *command[1:]]) == 2
        err = capsys.readouterr().err
        assert "written by a newer release" in err
        assert message in err
    assert not record_path.with_name("newer.pdf").exists()


def test_a_revision_of_a_newer_format_is_refused(
    record_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = json.loads(record_path.read_text())
    record["revision"]["format"] = 3
    (tmp_path / "newer.json").write_text(json.dumps(record))
    assert run(capsys, tmp_path / "newer.json", "-o", tmp_path / "S30.pdf")[0] == 2
    assert main(["verify", str(tmp_path / "newer.json")]) == 2
    assert "written by a newer release: revision format 3" in capsys.readouterr().err


def test_the_same_record_gives_the_same_bytes_in_every_process(record_path: Path) -> None:
    script = (
        "import sys, hashlib\nfrom datetime import date\nfrom pathlib import Path\nfrom checks.record_files import record_file\n"
        "from pages.reports import safety_report, security_annex\nrecord = record_file.read(Path(sys.argv[1]))\n"
        "day = date(2025, 9, 22)\nfiles = [safety_report.report(record, day=day) for _ in '12']\n"
        "files += [security_annex.annex(record, reader='SR-1', day=day) for _ in '12']\n"
        "print(*(hashlib.sha256(file).hexdigest() for file in files))"
    )
    hashes = [
        subprocess.run(  # noqa: S603
            [sys.executable, "-c", script, str(record_path)],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=True,
            timeout=120,
        ).stdout.split()
        for seed in ("1", "2")
    ]
    assert hashes[0] == hashes[1]
    assert len(set(hashes[0])) == 2


def test_the_score_command_does_not_import_the_report_libraries() -> None:
    script = "import sys, checks.__main__ as it\nit.main(['score', sys.argv[1]])\nprint(*sorted(sys.modules))"
    plant = ROOT / "tests" / "checks" / "valid.yaml"
    done = subprocess.run([sys.executable, "-c", script, str(plant)], cwd=ROOT, capture_output=True, check=True)  # noqa: S603
    modules = done.stdout.decode().splitlines()[-1].split()
    assert "checks.assessment.assessment" in modules
    assert not {"reportlab", "sqlalchemy", "pages"} & set(modules)
