"""Imports run pages, checks, scoring and never back."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.layers.walked import ROOT, attributes, below, imports, module, packages, sources

SCORING, CHECKS, PAGES = sources("scoring"), sources("checks"), sources("pages")
SCREEN_FOLDERS = ("plant", "session", "results")
SCREENS = [path for path in sources(*(f"pages/{name}" for name in SCREEN_FOLDERS)) if path.stem != "__init__"]
DRAWN = ("charts.py", "rails.py", "zone_map.py")
TABLES = ROOT / "scoring" / "source.py"
COMMAND_LINE = ROOT / "checks" / "__main__.py"


def only(path: Path) -> Path:
    """A source that a rule names: it must be there, else the rule guards nothing."""
    assert path.is_file(), f"{path} is gone: mend the rule"
    return path


def where(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", SCORING, ids=where)
def test_scoring_needs_the_standard_library_and_numpy_and_only_the_reader_of_tables_yaml(path: Path) -> None:
    allowed = {*sys.stdlib_module_names, "numpy", "scoring"} | ({"yaml"} if path == only(TABLES) else set())
    assert packages(path) <= allowed


@pytest.mark.parametrize("path", SCORING, ids=where)
def test_scoring_knows_no_clock_no_chance_no_environment_and_no_file_but_its_tables(path: Path) -> None:
    forbidden = {"random", "secrets", "time", "datetime", "os", "socket", "subprocess", "logging"}
    assert not packages(path) & forbidden
    assert not below(imports(path), "numpy.random")
    if path != TABLES:
        assert not packages(path) & {"pathlib", "io"}
        assert "open" not in attributes(path)


@pytest.mark.parametrize("path", CHECKS, ids=where)
def test_checks_knows_no_screen(path: Path) -> None:
    pages = set() if path == only(COMMAND_LINE) else {"pages"}
    assert not packages(path) & {*pages, "app", "demo", "tests", "streamlit", "plotly", "pandas"}


@pytest.mark.parametrize("path", [*CHECKS, *SCORING], ids=where)
def test_nothing_below_imports_what_stands_above(path: Path) -> None:
    above = {"pages", "app"} | ({"checks"} if path in SCORING else set())
    assert not packages(path) & (above - {"pages"} if path == only(COMMAND_LINE) else above)


def test_the_command_line_is_a_frame_that_knows_of_the_pages_only_what_is_printed() -> None:
    """It prints what app.py shows: the one place beside app.py where the layers are put together.

    Nothing imports it, so no module of ``checks`` comes to a page through it.
    """
    named = below(imports(only(COMMAND_LINE)), "pages")
    assert named
    assert named == below(named, "pages.paper")
    for path in (*CHECKS, *SCORING, *PAGES):
        assert not below(imports(path), "checks.__main__"), where(path)


@pytest.mark.parametrize("path", [*CHECKS, *SCORING, *PAGES, *sources("demo"), ROOT / "app.py"], ids=where)
def test_nothing_in_use_imports_the_tests(path: Path) -> None:
    assert not packages(only(path)) & {"tests", "pytest", "hypothesis"}


@pytest.mark.parametrize("path", SCREENS, ids=where)
def test_a_screen_never_imports_another_screen(path: Path) -> None:
    others = {module(one) for one in SCREENS if one != path}
    assert not below(imports(path), *others)
    assert not below(imports(path), "app")


@pytest.mark.parametrize("path", sources("pages/shared", "pages/paper"), ids=where)
def test_what_every_screen_uses_imports_no_screen(path: Path) -> None:
    assert not below(imports(path), "app", *(f"pages.{name}" for name in SCREEN_FOLDERS))


@pytest.mark.parametrize("path", [*PAGES, ROOT / "app.py", *sources("demo")], ids=where)
def test_only_one_module_touches_session_state_and_query_parameters(path: Path) -> None:
    if path != only(ROOT / "pages" / "ui" / "state.py"):
        assert not attributes(path) & {"session_state", "query_params"}


@pytest.mark.parametrize("path", [*PAGES, ROOT / "app.py", *sources("demo")], ids=where)
def test_only_one_module_uses_the_caches(path: Path) -> None:
    if path != only(ROOT / "pages" / "ui" / "caches.py"):
        assert not attributes(path) & {"cache_resource", "cache_data", "cache"}


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_drawn_is_made_without_streamlit(name: str) -> None:
    assert "streamlit" not in packages(only(ROOT / "pages" / "shared" / name))


@pytest.mark.parametrize("path", sources("pages/paper"), ids=where)
def test_what_leaves_as_a_file_is_made_without_streamlit(path: Path) -> None:
    assert "streamlit" not in packages(path)


@pytest.mark.parametrize("path", PAGES, ids=where)
def test_a_screen_shows_results_and_calls_no_equation(path: Path) -> None:
    assert not below(imports(path), "scoring.redundancy", "scoring.erosion")


def test_the_rules_find_what_they_forbid(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "scoring" / "bad.py"
    source.parent.mkdir()
    source.write_text(
        "import numpy.random\nfrom . import other\nfrom ..pages import session\n"
        "def f():\n    from streamlit import session_state as s\n    import importlib\n"
        "    importlib.import_module('plotly.io')\n    s.cache_resource\n"
    )
    monkeypatch.setattr("tests.layers.walked.ROOT", tmp_path)
    assert {"numpy.random", "scoring.other", "pages.session", "streamlit", "plotly.io"} <= imports(source)
    assert {"streamlit", "plotly", "pages", "numpy"} <= packages(source)
    assert {"session_state", "cache_resource"} <= attributes(source)
