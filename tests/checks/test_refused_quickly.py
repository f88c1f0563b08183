"""Hostile files of two megabytes: each is refused at once, in few lines, by a process that would otherwise be stopped."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest

from tests.checks.given import ROOT, SMALLEST

SIZE = 2_000_000
SECONDS = 20
"""Two would do; on a busy machine a process takes longer to start. A hang fails."""


def _repeated(piece: str) -> str:
    return piece * (SIZE // len(piece))


def _alias_bomb() -> str:
    """Each anchor holds the one before it twice: written out it would be 2^50,000 words."""
    lines, length = ["a0: &a0 [x]"], 0
    for number in count(1):
        lines.append(f"a{number}: &a{number} [*a{number - 1}, *a{number - 1}]")
        length += len(lines[-1]) + 1
        if length > SIZE:
            break
    return "\n".join(lines)


def _deep_indentation() -> str:
    """Mappings one in the other, each a space further in: two megabytes at a depth of two thousand."""
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
    "random bytes below 128": lambda: bytes(one & 127 for one in random.Random(2).randbytes(SIZE)),  # noqa: S311
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


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_at_once_and_in_few_lines(name: str, tmp_path: Path) -> None:
    path = tmp_path / "hostile.yaml"
    content = HOSTILE[name]()
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "checks", "score", str(path)],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=SECONDS,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    lines = done.stderr.splitlines()
    assert 1 <= len(lines) <= 50
    assert all(line.startswith(f"{path}: ") for line in lines)
    assert all(len(line) < 1000 for line in lines)
    assert "Traceback" not in done.stderr
