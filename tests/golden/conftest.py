"""The golden files of every release, unpacked."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from tests.golden.write import FOLDER

RELEASES = sorted(FOLDER.glob("release_*"))
RECORDS = sorted(
    path for release in RELEASES for name in ("S*", "everything") for path in release.glob(f"{name}.json.gz")
)

PRINTED = sorted({path.name.split("-")[0] + str(path.parent): path for path in RECORDS}.values())
"""The last record of each system of each release: printing takes seconds, and the earlier ones are printed alike."""
DATABASES = sorted(path for release in RELEASES for path in release.glob("*.sqlite3.gz"))


def label(path: Path) -> str:
    """Release and file as the label of a test."""
    return str(path.relative_to(FOLDER)).removesuffix(".gz")


def unpacked(path: Path, folder: Path) -> Path:
    """A golden file as the release wrote it, in a folder of the test."""
    plain = folder / path.name.removesuffix(".gz")
    plain.write_bytes(gzip.decompress(path.read_bytes()))
    return plain


@pytest.fixture(params=RECORDS, ids=label)
def record_file(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """One record of an earlier release."""
    return unpacked(request.param, tmp_path)


@pytest.fixture(params=PRINTED, ids=label)
def printed_record(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """The last record of a system of an earlier release."""
    return unpacked(request.param, tmp_path)


@pytest.fixture(params=RELEASES, ids=lambda release: release.name)
def release(request: pytest.FixtureRequest) -> Path:
    """The folder of one release."""
    path: Path = request.param
    return path


@pytest.fixture(params=DATABASES, ids=label)
def database(request: pytest.FixtureRequest) -> Path:
    """One database of an earlier release, packed."""
    path: Path = request.param
    return path
