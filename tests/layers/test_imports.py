"""Imports run pages → checks → scoring and never back, and there is no cycle of folders: one test for each rule."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.layers.walked import (
    FRAMES,
    ROOT,
    attributes,
    below,
    breaches,
    circular,
    imports,
    is_screen,
    module,
    only,
    packages,
    sources,
)

SCORING, CHECKS, PAGES, DEMO = sources("scoring"), sources("checks"), sources("pages"), sources("demo")
APP, COMMAND_LINE = map(only, FRAMES)
BELOW_PAGES = [path for path in (*CHECKS, *SCORING) if path != COMMAND_LINE]
SCREENS = [path for path in PAGES if is_screen(path)]
TABLES = only(ROOT / "scoring" / "source.py")
STATE = only(ROOT / "pages" / "ui" / "state.py")
CACHES = sources("pages/cached")


def test_no_folder_imports_one_that_imports_it() -> None:
    """All folders of the four; except the command line, which nothing imports (see below)."""
    assert circular(path for path in (*SCORING, *CHECKS, *PAGES, *DEMO) if path != COMMAND_LINE) == []


def test_scoring_needs_the_standard_library_numpy_and_scipy_and_only_the_reader_of_tables_yaml() -> None:
    allowed = {*sys.stdlib_module_names, "numpy", "scipy", "scoring"}
    assert breaches(SCORING, lambda path: packages(path) - allowed - ({"yaml"} if path == TABLES else set())) == {}


def test_scoring_uses_no_clock_no_random_numbers_no_environment_and_no_file_but_its_tables() -> None:
    forbidden = {"random", "secrets", "time", "datetime", "os", "socket", "subprocess", "logging"}
    files = {"pathlib", "io"}

    def found(path: Path) -> set[str]:
        wrong = packages(path) & forbidden | below(imports(path), "numpy.random")
        return wrong if path == TABLES else wrong | packages(path) & files | attributes(path) & {"open"}

    assert breaches(SCORING, found) == {}


def test_checks_knows_no_screen() -> None:
    unknown = {"app", "demo", "tests", "streamlit", "plotly", "pandas"}
    assert breaches(CHECKS, lambda path: packages(path) & unknown) == {}


def test_a_lower_layer_does_not_import_a_higher_one() -> None:
    assert breaches(BELOW_PAGES, lambda path: packages(path) & {"pages", "app"}) == {}
    assert breaches(SCORING, lambda path: packages(path) & {"checks", "demo"}) == {}


def test_the_command_line_is_a_frame_that_knows_of_the_pages_only_what_is_printed() -> None:
    """It prints what app.py shows, and is the only other place that joins the layers.

    Nothing imports it, so no module of ``checks`` imports a page through it.
    """
    named = below(imports(COMMAND_LINE), "pages")
    assert named
    assert named == below(named, "pages.reports")
    all_sources = (*CHECKS, *SCORING, *PAGES, *DEMO, APP)
    assert breaches(all_sources, lambda path: below(imports(path), "checks.__main__", "app")) == {}


def test_nothing_in_use_imports_the_tests() -> None:
    all_sources = (*CHECKS, *SCORING, *PAGES, *DEMO, APP)
    assert breaches(all_sources, lambda path: packages(path) & {"tests", "pytest", "hypothesis"}) == {}


def test_a_screen_and_its_parts_are_known_in_their_own_folder_alone() -> None:
    """No screen imports another one, and the common modules import no screen."""
    assert len(SCREENS) > 5
    screens = {module(path) for path in SCREENS}
    folders = {name.rpartition(".")[0] for name in screens}

    def found(path: Path) -> set[str]:
        others = folders - {module(path).rpartition(".")[0]}
        return below(imports(path), *others) | below(imports(path), *screens - {module(path)})

    assert breaches([path for path in PAGES if path.stem != "__init__"], found) == {}


def test_only_one_module_touches_session_state_and_query_parameters() -> None:
    others = [path for path in (*PAGES, APP, *DEMO) if path != STATE]
    assert breaches(others, lambda path: attributes(path) & {"session_state", "query_params"}) == {}
    assert attributes(STATE) >= {"session_state", "query_params"}


def test_only_one_folder_uses_the_caches_and_it_knows_no_session() -> None:
    others = [path for path in (*PAGES, APP, *DEMO) if path not in CACHES]
    assert breaches(others, lambda path: attributes(path) & {"cache_resource", "cache_data", "cache"}) == {}
    assert any("cache_resource" in attributes(path) for path in CACHES)
    assert breaches(CACHES, lambda path: below(imports(path), "pages.ui", "pages.web")) == {}


def test_charts_and_words_are_made_without_streamlit() -> None:
    paths = sources("pages/charts") + sources("pages/presentation")
    assert breaches(paths, lambda path: packages(path) & {"streamlit"}) == {}


def test_reports_are_made_without_streamlit_and_plotly() -> None:
    assert breaches(sources("pages/reports"), lambda path: packages(path) & {"streamlit", "plotly"}) == {}


def test_a_screen_shows_results_and_calls_no_equation() -> None:
    equations = ("scoring.redundancy", "scoring.erosion")
    assert breaches(PAGES, lambda path: below(imports(path), *equations)) == {}


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
    assert breaches([source], lambda path: packages(path) & {"plotly"}) == {"scoring/bad.py": ["plotly"]}


CIRCLES: dict[str, tuple[dict[str, str], list[str]]] = {
    "two folders": (
        {"a/one.py": "from b import two", "b/two.py": "def f():\n    from a.other import x", "a/other.py": ""},
        ["a.one imports b.two", "b.two imports a.other"],
    ),
    "over a third": (
        {"a/one.py": "import b.two", "b/two.py": "from c import three", "c/three.py": "from a import one"},
        ["a.one imports b.two", "b.two imports c.three", "c.three imports a.one"],
    ),
    "a folder and its own": (
        {"a/one.py": "from a.in_it import two", "a/in_it/two.py": "import a.other", "a/other.py": ""},
        ["a.in_it.two imports a.other", "a.one imports a.in_it.two"],
    ),
    "branches": (
        {"p/a/x/one.py": "from p.b import two", "p/b/two.py": "from p.a.y import three", "p/a/y/three.py": ""},
        ["p.a.x.one imports p.b.two", "p.b.two imports p.a.y.three"],
    ),
    "none": ({"a/one.py": "from b import two\nfrom a import other", "a/other.py": "import a.one", "b/two.py": ""}, []),
}


@pytest.mark.parametrize("named", CIRCLES)
def test_a_cycle_of_folders_is_found(named: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files, expected = CIRCLES[named]
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    monkeypatch.setattr("tests.layers.walked.ROOT", tmp_path)
    assert circular(tmp_path.rglob("*.py")) == expected
