"""Databases of earlier releases open, verify and take further events; their plant files give the same figures."""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import pytest

from checks.access.roles import FACILITATOR, Person
from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.record_files.verification import verify_store
from checks.recording import answer_records
from checks.signoff.revisions import fixed_body
from checks.state.live import Live
from tests.golden.conftest import unpacked


def _opened(release: Path, folder: Path) -> Store:
    return Store(f"sqlite:///{unpacked(release / 'demo.sqlite3.gz', folder)}")


def test_a_database_verifies(release: Path, tmp_path: Path) -> None:
    line, held = verify_store(_opened(release, tmp_path))
    assert "each fits the one before" in line
    assert "held by a signature up to event " in held


def test_every_revision_of_a_database_is_read(release: Path, tmp_path: Path) -> None:
    live = Live(_opened(release, tmp_path), 1)
    revisions = [revision for of_system in live.state().records.revisions.values() for revision in of_system]
    assert len(revisions) == len(list(release.glob("S*.json.gz")))
    for revision in revisions:
        assert fixed_body(live, revision)["results"]["functions"]


def test_a_database_takes_further_events(release: Path, tmp_path: Path) -> None:
    store = _opened(release, tmp_path)
    live, person = Live(store, 1), Person("facilitator F-1", frozenset({FACILITATOR}))
    answer_records.record_attendance(live, person, system="S30", on="2026-11-27", people=[("operator O-1", "operator")])
    assert list(verify_store(store))


def _same(stored: object, computed: object) -> None:
    """Every key of a release is still there with its figure; later releases may add keys."""
    if isinstance(stored, dict):
        assert isinstance(computed, dict)
        for key in stored.keys() - {"reach"}:  # from release 3 on only programmable groups are reached
            _same(stored[key], computed[key])
    elif isinstance(stored, list):
        assert isinstance(computed, list)
        assert len(stored) == len(computed)
        for pair in zip(stored, computed, strict=True):
            _same(*pair)
    else:
        assert computed == (pytest.approx(stored, rel=1e-9) if isinstance(stored, float) else stored)


def test_a_plant_file_gives_the_same_figures(release: Path) -> None:
    stored = json.loads(gzip.decompress((release / "score.json.gz").read_bytes()))
    computed = outcome(Assessment(plant_file.read(release / "plant.yaml")))
    assert stored["functions"]
    _same(stored, json.loads(json.dumps(computed)))
