"""The sources of the project and what each of them imports, read without running anything."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]


def sources(*folders: str) -> list[Path]:
    """Python files below folders; an empty walk is a fault of the test."""
    found = sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    assert found, f"no source below {folders}"
    return found


def tree(path: Path) -> ast.Module:
    """Syntax tree of a source."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def module(path: Path) -> str:
    """Dotted name of a source."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _named(path: Path, node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (one.name for one in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            package = module(path).split(".")
            own = package if path.stem == "__init__" else package[:-1]
            base = ".".join([*own[: len(own) - node.level + 1], *([base] if base else [])])
        yield base
        yield from (f"{base}.{one.name}" for one in node.names)
    elif isinstance(node, ast.Call):
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if called in ("import_module", "__import__"):
            yield from (str(one.value) for one in node.args[:1] if isinstance(one, ast.Constant))


def imports(path: Path) -> set[str]:
    """Everything that a source imports, wherever in it: ``a.b`` of ``import a.b``, ``a`` and ``a.b`` of ``from a import b``."""
    return {name for node in ast.walk(tree(path)) for name in _named(path, node)}


def packages(path: Path) -> set[str]:
    """First parts of what a source imports."""
    return {name.partition(".")[0] for name in imports(path)}


def below(names: set[str], *prefixes: str) -> set[str]:
    """Names that are one of the prefixes or lie below one."""
    return {name for name in names if any(name == one or name.startswith(f"{one}.") for one in prefixes)}


def attributes(path: Path) -> set[str]:
    """Every attribute that a source reads or writes, and every name that it takes out of a module."""
    held = tree(path)
    read = {node.attr for node in ast.walk(held) if isinstance(node, ast.Attribute)}
    taken = {one.name for node in ast.walk(held) if isinstance(node, ast.ImportFrom) for one in node.names}
    return read | taken
