"""Teams with a database of their own; what is the same for many tests is made once and copied."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checks.record.team import Team, every_answer, founded, three_systems


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Team:
    """A plant of which S30 can be signed as it stands."""
    plant = three_systems().model_copy(update={"answers": every_answer()})
    return founded(tmp_path_factory.mktemp("made") / "answers.sqlite3", plant, "safety", "security")


@pytest.fixture
def team(made: Team, tmp_path: Path) -> Team:
    """A team whose system S30 is ready to be put up and signed."""
    return made.copy(tmp_path / "answers.sqlite3")
