"""Text that some database cannot store is refused before it is written.

SQLite stores any character and length. The limits of the strictest database apply to all, so that the choice of database
makes no difference.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checks.journal import schema
from checks.journal.append import Entry
from checks.text.faults import STORABLE, UNSTORABLE, Fault, Refused


def fitting(entry: Entry) -> Entry:
    """The entry itself; raises Refused with each of its texts that cannot be stored."""
    columns = {name: getattr(entry, name) or "" for name in schema.MOST_LETTERS}
    wrong = [
        Fault(place, "contains what cannot be stored", STORABLE)
        for place, text in (*texts_in(entry.kind, entry.body), *columns.items())
        if UNSTORABLE.search(text)
    ]
    for name, most in schema.MOST_LETTERS.items():
        if len(columns[name]) > most:
            wrong.append(Fault(name, f"{len(columns[name])} characters", f"at most {most}"))
    if wrong:
        raise Refused(entry.kind, wrong)
    return entry


def texts_in(place: str, value: Any) -> Iterator[tuple[str, str]]:
    """Each text in JSON data, with its place."""
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, Mapping):
        for name, part in value.items():
            yield from texts_in(name, part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from texts_in(place, part)
