"""Every event of an earlier release is read into its typed body and written again byte for byte."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from checks.events.kinds import KINDS, read
from checks.journal.store import Store
from checks.text.canonical import canonical
from tests.golden import every_kind
from tests.golden.conftest import unpacked

SINCE = {
    "allowed-change": 6,
    "answer-taken-back": 4,
    "archive": 4,
    "attendance-corrected": 5,
    "data-checked": 5,
    "effort": 6,
    "entry-taken-back": 5,
    "name-linked": 5,
    "review-comment": 5,
}
"""Kinds that came after release 2, each with the first release that has it."""


def test_a_body_is_written_as_it_was_read(database: Path, tmp_path: Path) -> None:
    store = Store(f"sqlite:///{unpacked(database, tmp_path)}")
    events = store.events(1)
    for event in events:
        body = read(event)
        assert body is not None, event.kind
        assert canonical(body.data()).decode() == event.body, event.kind
    if database.name.startswith("every_kind"):
        number = int(database.parent.name.removeprefix("release_"))
        assert {event.kind for event in events} == {kind for kind in KINDS if SINCE.get(kind, 0) <= number}


def test_the_history_that_the_next_release_writes_has_every_kind_of_event(tmp_path: Path) -> None:
    every_kind.fill(tmp_path / "every_kind.sqlite3")
    events = Store(f"sqlite:///{tmp_path / 'every_kind.sqlite3'}").events(1)
    assert {event.kind for event in events} == set(KINDS)


def test_a_field_that_a_later_release_added_is_ignored(release: Path, tmp_path: Path) -> None:
    store = Store(f"sqlite:///{unpacked(release / 'every_kind.sqlite3.gz', tmp_path)}")
    for event in store.events(1):
        later = replace(event, body=canonical({**event.content, "added_later": 1}).decode())
        assert read(later) == read(event), event.kind
