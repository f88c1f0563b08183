"""Layout of the repository: the visible top level, and no page script that Streamlit would serve without app.py."""

from __future__ import annotations

import shutil
import subprocess
from collections import Counter

from tests.layers.walked import ROOT, sources, where

TOP = {
    "README.md",
    "DEVELOPERS.md",
    "requirements.txt",
    "app.py",
    "pages",
    "checks",
    "scoring",
    "tests",
    "demo",
}
LEFT_BY_TOOLS = {"__pycache__"}


def tracked() -> set[str] | None:
    """Top level of the files that git tracks; None outside a checkout."""
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        return None
    asked = [git, "-c", f"safe.directory={ROOT}", "-C", str(ROOT), "ls-files", "-z"]
    listed = subprocess.run(asked, capture_output=True, text=True, check=True)  # noqa: S603
    return {name.partition("/")[0] for name in listed.stdout.split("\0") if name}


def test_the_visible_top_level_is_this_and_no_more() -> None:
    names = tracked()
    if names is None:
        names = {path.name for path in ROOT.iterdir()} - LEFT_BY_TOOLS
    visible = {name for name in names if not name.startswith(".")}
    assert visible == TOP


MOST_MODULES = 14
"""Largest number of modules in a folder that a reader can survey (house rule)."""


def test_no_page_script_is_directly_in_pages() -> None:
    assert [path.name for path in (ROOT / "pages").glob("*.py")] == ["__init__.py"]
    assert len(sources("pages")) > 5


def test_nothing_is_directly_in_checks_but_the_command_line() -> None:
    assert sorted(path.name for path in (ROOT / "checks").glob("*.py")) == ["__init__.py", "__main__.py"]


def test_every_folder_with_sources_is_a_package() -> None:
    folders = {path.parent for path in sources("pages", "checks", "scoring", "demo")}
    assert [str(folder) for folder in sorted(folders) if not (folder / "__init__.py").is_file()] == []


def test_no_folder_has_more_modules_than_a_reader_can_survey() -> None:
    count = Counter(path.parent for path in sources("pages", "checks", "scoring", "demo") if path.stem != "__init__")
    assert {where(folder): many for folder, many in count.items() if many > MOST_MODULES} == {}


def test_tests_mirror_the_folders_of_the_code() -> None:
    tested = {path.parent for path in sources("tests/checks", "tests/pages", "tests/scoring", "tests/demo")}
    assert [
        where(folder) for folder in sorted(tested) if not (ROOT / folder.relative_to(ROOT / "tests")).is_dir()
    ] == []
