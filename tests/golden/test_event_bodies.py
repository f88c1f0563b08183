"""Every event of an earlier release is read into its typed body and written again byte for byte."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.events.kinds import KINDS, read
from checks.journal.store import Store
from checks.text.canonical import canonical
from tests.golden.conftest import unpacked


@pytest.mark.parametrize("name", ["demo", "every_kind"])
def test_a_body_is_written_as_it_was_read(release: Path, tmp_path: Path, name: str) -> None:
    store = Store(f"sqlite:///{unpacked(release / f'{name}.sqlite3.gz', tmp_path)}")
    events = store.events(1)
    for event in events:
        body = read(event)
        assert body is not None, event.kind
        assert canonical(body.data()).decode() == event.body, event.kind
    if name == "every_kind":
        assert {event.kind for event in events} == set(KINDS)
