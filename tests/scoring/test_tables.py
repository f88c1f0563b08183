"""Table files: confidence, check sums, refusal of a damaged file."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import yaml

from scoring import source
from scoring.methods.registry import MOON_FACTORS
from scoring.source import CONFIDENCES, FOLDER, TableDamaged, table
from tests.rule import Rule

NAMES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder of tables that a test may damage; the real tables are read again afterwards."""
    monkeypatch.setattr(source, "FOLDER", tmp_path)
    table.cache_clear()
    yield tmp_path
    table.cache_clear()


@cache
def _parsed(name: str) -> Any:
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


def raw(name: str) -> Any:
    """Content of a table file that a test may change."""
    return deepcopy(_parsed(name))


def write(folder: Path, name: str, content: Any) -> None:
    """Write a table file, as JSON, which is valid YAML and faster to write."""
    (folder / f"{name}.yaml").write_text(json.dumps(content), encoding="utf-8")


def test_there_are_tables_and_every_one_in_use_is_among_them() -> None:
    assert NAMES
    assert {convention.table for convention in MOON_FACTORS.editions().values() if convention.table} <= set(NAMES)


def test_every_table_loads_and_says_how_well_it_is_known() -> None:
    with Rule() as rule:
        for name in NAMES:
            with rule.case(name):
                printed = table(name)
                assert printed.confidence in CONFIDENCES
                assert all((printed.document, printed.edition, printed.place, printed.rows, printed.extra["units"]))
                assert printed.citation == f"{printed.document}:{printed.edition}, {printed.place}"
                assert all(len(row["values"]) == len(printed.columns) for row in printed.rows)


def test_a_table_copied_unharmed_loads(folder: Path) -> None:
    with Rule() as rule:
        for name in NAMES:
            with rule.case(name):
                write(folder, name, raw(name))
                assert len(table(name).rows) == raw(name)["check"]["rows"]


def test_a_table_with_an_altered_value_is_refused(folder: Path) -> None:
    with Rule() as rule:
        for name, change in product(NAMES, (0.005, -0.005, 1.0)):
            with rule.case(f"{name}, by {change}"):
                columns = raw(name)["columns"]
                assert columns
                for at, column in enumerate(columns):
                    content = raw(name)
                    row = content["rows"][at % len(content["rows"])]
                    row["values"][at] = (row["values"][at] or 0.0) + change
                    write(folder, name, content)
                    with pytest.raises(TableDamaged, match=f"^table {name}: column {column} adds to"):
                        table(name)


def test_a_table_with_a_dropped_row_is_refused(folder: Path) -> None:
    with Rule() as rule:
        for name, at in product(NAMES, (0, 1, -1)):
            with rule.case(f"{name}, row {at}"):
                content = raw(name)
                del content["rows"][at]
                write(folder, name, content)
                with pytest.raises(TableDamaged, match=rf"^table {name}: \d+ rows instead of \d+"):
                    table(name)


def test_a_table_with_a_row_twice_is_refused(folder: Path) -> None:
    with Rule() as rule:
        for name in NAMES:
            with rule.case(name):
                content = raw(name)
                content["rows"].append(dict(content["rows"][-1]))
                write(folder, name, content)
                with pytest.raises(TableDamaged, match="rows instead of"):
                    table(name)


def test_a_refused_table_is_read_again_once_it_is_restored(folder: Path) -> None:
    content = raw("iec61508_6_2010_d5")
    content["rows"][0]["values"][0] = 1.1
    write(folder, "iec61508_6_2010_d5", content)
    with pytest.raises(TableDamaged, match="restore the file"):
        table("iec61508_6_2010_d5")
    write(folder, "iec61508_6_2010_d5", raw("iec61508_6_2010_d5"))
    assert table("iec61508_6_2010_d5").rows[0]["values"] == [1.0]
