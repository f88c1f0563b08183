"""Hostile files of two megabytes: each is rejected at once and in few lines, and none crashes the process."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest

from checks.__main__ import main
from tests.checks.deadline import within
from tests.checks.given import ROOT, SMALLEST

SIZE = 2_000_000
SECONDS = 20
"""Two are enough on an idle machine; on a busy one a process takes longer to start. A hang fails."""
IN_A_PROCESS = ("open nested mappings", "deep indentation", "an alias bomb", "an alias bomb in a list", "random bytes")
"""Files that could use up memory or stack: each runs in a process of its own, so that it cannot crash the tests."""


def _repeated(piece: str) -> str:
    return piece * (SIZE // len(piece))


def _alias_bomb() -> str:
    """Each anchor contains the previous one twice: in full it would be 2^50,000 words."""
    lines, length = ["a0: &a0 [x]"], 0
    for number in count(1):
        lines.append(f"a{number}: &a{number} [*a{number - 1}, *a{number - 1}]")
        length += len(lines[-1]) + 1
        if length > SIZE:
            break
    return "\n".join(lines)


def _deep_indentation() -> str:
    """Nested mappings, each indented by one space: two megabytes at a depth of two thousand."""
    return "".join(" " * depth + "a:\n" for depth in range(2000))


HOSTILE: dict[str, Callable[[], str | bytes]] = {
    "open lists": lambda: "[" * SIZE,
    "open mappings": lambda: "{" * SIZE,
    "open nested mappings": lambda: _repeated("{a: "),
    "open nested lists": lambda: _repeated("[a, "),
    "closed nested mappings": lambda: _repeated("{a: ") + "1" + "}" * (SIZE // 4),
    "closed nested lists": lambda: "[" * (SIZE // 2) + "]" * (SIZE // 2),
    "nested mappings below a plant": lambda: "format: 1\nplant: " + _repeated("{name: "),
    "lists in lists by dashes": lambda: _repeated("- "),
    "keys that are keys": lambda: _repeated("? "),
    "deep indentation": _deep_indentation,
    "one deep indentation": lambda: " " * SIZE + "a: b",
    "an alias bomb": _alias_bomb,
    "an alias bomb in a list": lambda: "a: [" + _repeated("&a x, *a, "),
    "random bytes": lambda: random.Random(1).randbytes(SIZE),  # noqa: S311
    "random bytes below 128": lambda: bytes(byte & 127 for byte in random.Random(2).randbytes(SIZE)),  # noqa: S311
    "random brackets": lambda: "".join(random.Random(3).choices("[]{},:-?&*!'\" a1\n", k=SIZE)),  # noqa: S311
    "zeros": lambda: b"\0" * SIZE,
    "one giant line": lambda: "a" * SIZE,
    "one giant key": lambda: "k" * SIZE + ": 1",
    "one giant value": lambda: "format: " + "b" * SIZE,
    "one giant number": lambda: "format: " + "1" * SIZE,
    "one giant name": lambda: SMALLEST.replace("name: P", "name: " + "P" * SIZE),
    "one giant block": lambda: "format: |\n" + _repeated("  text\n"),
    "one key again and again": lambda: _repeated("a: b\n"),
    "one key again and again, on one line": lambda: "{" + _repeated("a: b, ") + "}",
    "an open quote": lambda: "a: '" + "b" * SIZE,
    "an open quote of escapes": lambda: '"' + _repeated("\\u0041"),
    "tags": lambda: "a: [" + _repeated("!x 1, ") + "]",
    "python tags": lambda: "a: [" + _repeated("!!python/object/apply:os.system [ls], ") + "]",
    "documents": lambda: _repeated("--- {}\n"),
    "comments": lambda: _repeated("# c\n"),
    "new lines": lambda: "\n" * SIZE,
    "tabs": lambda: "\t" * SIZE,
    "colons": lambda: ":" * SIZE,
    "dashes": lambda: "-" * SIZE,
    "directives": lambda: _repeated("%YAML 1.1\n"),
}


def _written(folder: Path, name: str) -> Path:
    path = folder / "hostile.yaml"
    content = HOSTILE[name]()
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def _assert_few_lines(error: str, path: Path) -> None:
    lines = error.splitlines()
    assert 1 <= len(lines) <= 50
    assert all(line.startswith(f"{path}: ") for line in lines)
    assert all(len(line) < 1000 for line in lines)
    assert "Traceback" not in error


@pytest.mark.parametrize("name", [name for name in HOSTILE if name not in IN_A_PROCESS])
def test_a_hostile_file_is_refused_at_once_and_in_few_lines(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = _written(tmp_path, name)
    with within(SECONDS):
        assert main(["score", str(path)]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    _assert_few_lines(printed.err, path)


@pytest.mark.parametrize("name", IN_A_PROCESS)
def test_a_file_that_could_take_the_process_along_is_refused_at_once_and_in_few_lines(
    name: str, tmp_path: Path
) -> None:
    path = _written(tmp_path, name)
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "checks", "score", str(path)],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=SECONDS,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    _assert_few_lines(done.stderr, path)
