"""A class of the plant file or of actions may get an optional field: files written before stay the same."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from checks.__main__ import main
from checks.actions import recorded_actions
from checks.events.kinds import KINDS
from checks.events.plant import plant_data
from checks.journal import event_body
from checks.journal.store import Store
from checks.plantfile import equipment, plant, plant_file
from checks.record_files import record_file as record_files
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live
from checks.text.canonical import canonical
from tests.golden.conftest import unpacked

ADDED = "added_later"


def _classes() -> list[type[BaseModel]]:
    """Classes of the plant file and of event bodies that have fields, inner ones first, as their modules name them."""
    modules = [equipment, plant, event_body, *(sys.modules[body.__module__] for body in KINDS.values())]
    named = [value for module in modules for value in vars(module).values()]
    models = dict.fromkeys(one for one in named if isinstance(one, type) and issubclass(one, BaseModel))
    return [model for model in models if model is not BaseModel and model.model_fields]


@pytest.fixture
def with_a_field_more() -> Iterator[None]:
    """Each of these classes with one further optional field."""
    for model in _classes():
        model.__pydantic_fields__[ADDED] = FieldInfo(annotation=str, default="")
        model.model_rebuild(force=True)
    plant_data.plant_in.cache_clear()
    assert ADDED in plant.Group.model_fields, "the classes are found"
    assert all(ADDED in body.model_fields for body in KINDS.values())
    yield
    for model in _classes():
        del model.__pydantic_fields__[ADDED]
        model.model_rebuild(force=True)
    plant_data.plant_in.cache_clear()


def _facts_again(record: record_files.Record) -> bytes:
    """The facts of a record's revision, read and written again, without what later releases add."""
    stored = record.revision["facts"]
    facts = basis.facts(basis.assessment_of(stored), record.system)
    plant_again = {name: block for name, block in facts["plant"].items() if name in stored["plant"]}
    return canonical({**{name: facts[name] for name in stored}, "plant": plant_again, "banks": stored["banks"]})


@pytest.mark.usefixtures("with_a_field_more")
def test_the_facts_of_a_record_written_again_are_the_same_to_the_byte_and_it_verifies(
    record_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = record_files.read(record_file)
    read = basis.assessment_of(record.revision["facts"]).plant
    assert {getattr(part, ADDED) for part in (read, *read.groups.values(), *read.answers)} == {""}
    assert _facts_again(record) == canonical(record.revision["facts"])
    assert main(["verify", str(record_file)]) == 0, capsys.readouterr().err


def _states(live: Live) -> dict[str, list[str]]:
    """State of every revision, by system."""
    state = live.state()
    return {
        key: [revisions.status_of(state, revision) for revision in revisions_of]
        for key, revisions_of in state.records.revisions.items()
    }


def test_a_database_reads_the_same_with_a_further_optional_field(
    database: Path, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    url = f"sqlite:///{unpacked(database, tmp_path)}"
    before, plain = _states(Live(Store(url), 1)), plant_file.to_text(Live(Store(url), 1).state().file())
    request.getfixturevalue("with_a_field_more")
    live = Live(Store(url), 1)
    assert _states(live) == before
    assert plant_file.to_text(live.state().file()) == plain
    assert all(getattr(action, ADDED) == "" for action in recorded_actions.held(live.state()).values())
