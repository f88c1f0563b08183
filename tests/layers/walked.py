"""The sources of the project, their imports, and cycles of folders; nothing is run."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
FRAMES = (ROOT / "app.py", ROOT / "checks" / "__main__.py")
"""Entry points, which join the layers; nothing imports them."""


def sources(*folders: str) -> list[Path]:
    """Python files below folders; fails if there are none."""
    paths = sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    assert paths, f"no source below {folders}"
    return paths


def only(path: Path) -> Path:
    """A source that a rule names; fails if it does not exist, because the rule would guard nothing."""
    assert path.is_file(), f"{path} is gone: correct the rule"
    return path


def where(path: Path) -> str:
    """Path of a source relative to the project."""
    return str(path.relative_to(ROOT))


def breaches(paths: Iterable[Path], forbidden: Callable[[Path], Collection[str]]) -> dict[str, list[str]]:
    """Violations of a rule by source; empty if there are none."""
    return {where(path): sorted(violations) for path in paths if (violations := forbidden(path))}


def tree(path: Path) -> ast.Module:
    """Syntax tree of a source."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def module(path: Path) -> str:
    """Dotted name of a source."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _named(path: Path, node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            package = module(path).split(".")
            own = package if path.stem == "__init__" else package[:-1]
            base = ".".join([*own[: len(own) - node.level + 1], *([base] if base else [])])
        yield base
        yield from (f"{base}.{alias.name}" for alias in node.names)
    elif isinstance(node, ast.Call):
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if called in ("import_module", "__import__"):
            yield from (str(argument.value) for argument in node.args[:1] if isinstance(argument, ast.Constant))


@cache
def imports(path: Path) -> frozenset[str]:
    """All imports of a source, at any level: ``a.b`` of ``import a.b``, ``a`` and ``a.b`` of ``from a import b``."""
    return frozenset(name for node in ast.walk(tree(path)) for name in _named(path, node))


def packages(path: Path) -> set[str]:
    """Top-level packages that a source imports."""
    return {name.partition(".")[0] for name in imports(path)}


def below(names: Iterable[str], *prefixes: str) -> set[str]:
    """Names equal to one of the prefixes or below it."""
    return {name for name in names if any(name == prefix or name.startswith(f"{prefix}.") for prefix in prefixes)}


def attributes(path: Path) -> set[str]:
    """All attributes that a source reads or writes, and all names that it imports from modules."""
    nodes = list(ast.walk(tree(path)))
    read = {node.attr for node in nodes if isinstance(node, ast.Attribute)}
    taken = {alias.name for node in nodes if isinstance(node, ast.ImportFrom) for alias in node.names}
    return read | taken


def is_screen(path: Path) -> bool:
    """Whether a source defines a page: ``page = …`` at its top level."""
    return any(
        isinstance(target, ast.Name) and target.id == "page"
        for node in tree(path).body
        if isinstance(node, ast.Assign)
        for target in node.targets
    )


def circular(paths: Iterable[Path]) -> list[str]:
    """Imports between folders that are part of a cycle, each as ``one.module imports another.module``.

    Two modules are compared where their folders diverge: below that folder each represents its whole branch, so that a
    cycle of branches is found too. Modules directly in that folder are a branch of their own.
    """
    modules = {module(path): path for path in paths if path.stem != "__init__"}
    edges: dict[tuple[str, str], list[str]] = defaultdict(list)
    for name, path in modules.items():
        for other in imports(path) & modules.keys():
            branches = _branches(name.split(".")[:-1], other.split(".")[:-1])
            if branches[0] != branches[1]:
                edges[branches].append(f"{name} imports {other}")
    onward: dict[str, set[str]] = defaultdict(set)
    for start, end in edges:
        onward[start].add(end)
    return sorted(line for (start, end), lines in edges.items() if start in _reached(end, onward) for line in lines)


def _branches(folder: list[str], other: list[str]) -> tuple[str, str]:
    """The branches of two folders where they diverge; for equal folders the same branch twice."""
    shared = 0
    while shared < min(len(folder), len(other)) and folder[shared] == other[shared]:
        shared += 1
    place = ".".join(folder[:shared])
    branch, other_branch = (
        ".".join(parts[: shared + 1]) if len(parts) > shared else f"modules of {place}" for parts in (folder, other)
    )
    return branch, other_branch


def _reached(start: str, onward: dict[str, set[str]]) -> set[str]:
    reached, todo = set[str](), [start]
    while todo:
        for branch in onward.get(todo.pop(), set()) - reached:
            reached.add(branch)
            todo.append(branch)
    return reached
