"""What no database could hold as it is, refused before it reaches one.

SQLite would take every character and any length. So that nothing depends on which database is in use, the limits of the
strictest hold on each.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checks.journal import schema
from checks.journal.append import Entry
from checks.text.faults import STORABLE, UNSTORABLE, Fault, Refused


def fitting(entry: Entry) -> Entry:
    """The entry; raises Refused with every text of it that does not fit."""
    columns = {name: getattr(entry, name) or "" for name in schema.MOST_LETTERS}
    wrong = [
        Fault(place, "holds what cannot be stored", STORABLE)
        for place, text in (*_texts(entry.kind, entry.body), *columns.items())
        if UNSTORABLE.search(text)
    ]
    for name, most in schema.MOST_LETTERS.items():
        if len(columns[name]) > most:
            wrong.append(Fault(name, f"{len(columns[name])} characters", f"at most {most}"))
    if wrong:
        raise Refused(entry.kind, wrong)
    return entry


def _texts(place: str, value: Any) -> Iterator[tuple[str, str]]:
    """Every text in JSON data, with its place."""
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, Mapping):
        for name, held in value.items():
            yield from _texts(name, held)
    elif isinstance(value, list | tuple):
        for held in value:
            yield from _texts(place, held)
