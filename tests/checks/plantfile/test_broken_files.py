"""Each file of broken/ is rejected with the lines of broken/expected.yaml and no others."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from checks.__main__ import main
from tests.checks.given import HERE, ROOT, VALID

FOLDER = HERE / "plantfile" / "broken"
EXPECTED: dict[str, list[tuple[str, str]]] = {
    name: [(place, words) for place, words in faults]
    for name, faults in yaml.safe_load((FOLDER / "expected.yaml").read_text(encoding="utf-8")).items()
}
IN_A_PROCESS = (
    "answer_value_yes",
    "twelve_at_once",
    "yaml_alias_bomb",
    "yaml_deep",
    "yaml_empty",
    "yaml_open_quote",
    "yaml_tag_python",
)


def _file(name: str) -> Path:
    return FOLDER / f"{name}.yaml"


def _assert_listed(lines: list[str], path: Path, faults: list[tuple[str, str]]) -> None:
    """One line for each expected fault: file, place, line number, words."""
    for place, words in faults:
        pattern = re.escape(f"{path}: {place}") + r" \(line \d+\): .*" + re.escape(words) + ".*|"
        pattern += re.escape(f"{path}: {place}: ") + ".*" + re.escape(words) + ".*"
        assert any(re.fullmatch(pattern, line) for line in lines), f"no line for {place}: {words}\n" + "\n".join(lines)
    assert len(lines) == len(faults), "\n".join(lines)


def test_the_corpus_is_large_and_each_of_its_files_is_expected() -> None:
    stored = {path.stem for path in FOLDER.glob("*.yaml")} - {"expected"}
    assert stored == set(EXPECTED)
    assert len(stored) >= 55


@pytest.mark.parametrize("name", EXPECTED)
def test_a_broken_file_is_refused_with_one_line_for_each_fault_and_a_line_number_in_the_file(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = _file(name)
    assert main(["score", str(path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "Traceback" not in printed.err
    _assert_listed(printed.err.splitlines(), path, EXPECTED[name])
    last = path.read_text(encoding="utf-8").count("\n") + 1
    assert all(1 <= int(number) <= last for number in re.findall(r" \(line (\d+)\): ", printed.err))
    assert main(["score", "--json", str(path)]) == 2
    assert capsys.readouterr() == printed, "the same as JSON"


def test_twelve_faults_of_different_kinds_are_all_listed_at_once() -> None:
    assert len({place for place, _ in EXPECTED["twelve_at_once"]}) == 12


def _line_of(name: str, text: str) -> int:
    lines = _file(name).read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, start=1) if text in line)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("voting_words", "two of three"),
        ("key_device", "maker"),
        ("id_device", "PX"),
        ("twice_group", "channels: [[LS], [LS]]"),
        ("answer_no_such_day", "2025-02-30"),
        ("function_group_twice", "[pt-301, ls-sis, pt-301]"),
        ("key_top", "colour"),
    ],
)
def test_the_line_number_is_that_of_the_fault(name: str, text: str, capsys: pytest.CaptureFixture[str]) -> None:
    main(["score", str(_file(name))])
    number = _line_of(name, text) - (3 if name == "twice_group" else 0)  # the second key is three lines above
    assert f"(line {number}): " in capsys.readouterr().err


@pytest.mark.parametrize("name", IN_A_PROCESS)
def test_the_command_ends_with_status_2_and_no_traceback(name: str) -> None:
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "checks", "score", str(_file(name))],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=20,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    _assert_listed(done.stderr.splitlines(), _file(name), EXPECTED[name])


def test_the_file_that_all_of_them_vary_is_valid(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["score", str(VALID)]) == 0
    assert capsys.readouterr().err == ""
