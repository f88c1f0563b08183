"""Every handbook check says where its value stands and how well it is known."""

from __future__ import annotations

import ast
import re
from pathlib import Path

HERE = Path(__file__)
KNOWN = re.compile(r"Confidence: (read|cross-checked|closure|memory|derived)\b|Common practice, no source")


def checks() -> dict[str, str]:
    found = {}
    for path in sorted(HERE.parent.glob("test_*.py")):
        if path == HERE:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                found[f"{path.name}::{node.name}"] = ast.get_docstring(node) or ""
    return found


def test_every_check_says_how_well_its_value_is_known() -> None:
    found = checks()
    assert found
    assert [name for name, text in found.items() if not KNOWN.search(text)] == []
