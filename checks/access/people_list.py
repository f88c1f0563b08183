"""The list of people on a server: a file that gives each a name and roles, by subject or e-mail address.

``systems`` are the systems to whose teams a team member belongs; without it, to the team of every system.

```yaml
format: 1
people:
  - {email: r.hale@example.org, name: R. Hale, roles: [facilitator, team member]}
  - {email: m.lindt@example.org, name: M. Lindt, roles: [team member], systems: [S30]}
  - {subject: "provider|5f7c", name: J. Okoro, roles: [owner]}
```
"""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from checks.access.name_entry import name_faults
from checks.access.names import comparable
from checks.access.roles import MEMBER, ROLES
from checks.text import files
from checks.text.faults import Fault, Refused
from checks.text.yaml_text import MOST_BYTES, Place, decoded, lines_of, parsed, written

FORMAT = 1
LONGEST = 200
FIELDS = ("subject", "email", "name", "roles", "systems")
_ONE_OF = f"one of {', '.join(ROLES)}"


@dataclass(frozen=True, slots=True)
class Listed:
    """A person on the list: roles, and the name to record; an empty name is taken from the sign-in.

    ``systems`` are the systems to whose teams a team member belongs, None for all.
    """

    name: str
    roles: frozenset[str]
    systems: frozenset[str] | None = None


@dataclass(frozen=True)
class People:
    """The people on the list, by subject and by e-mail address."""

    by_subject: Mapping[str, Listed] = field(default_factory=dict)
    by_email: Mapping[str, Listed] = field(default_factory=dict)

    def of(self, *, subject: str, email: str) -> Listed | None:
        """The person with this subject, else with this e-mail address (``""`` for none); None where neither is listed."""
        return self.by_subject.get(subject) or self.by_email.get(_comparable_email(email))


class Watched:
    """The list in a file, read again when the file changes. An invalid file stays refused until it is corrected."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._mark: object = None
        self._latest: People | Refused = Refused(str(path), [])

    def people(self) -> People:
        """The people on the list; raises Refused where the file is invalid."""
        mark = self._file_mark()
        if mark != self._mark:
            try:
                self._latest = from_file(self.path)
            except Refused as refused:
                logging.getLogger(__name__).warning("nobody can sign in until this is corrected:\n%s", refused)
                self._latest = refused
            self._mark = mark
        if isinstance(self._latest, Refused):
            raise Refused(self._latest.name, self._latest.faults)
        return self._latest

    def _file_mark(self) -> object:
        try:
            status = self.path.stat()
        except OSError as error:
            return error.errno
        return status.st_mtime_ns, status.st_size, status.st_ino


def _comparable_email(email: str) -> str:
    """An e-mail address in the form used for comparison: case does not tell people apart."""
    return email.strip().casefold()


def from_file(path: Path) -> People:
    """The people listed in a file; raises Refused with all its faults."""
    raw = files.read(path, "a list of people", MOST_BYTES)
    return from_text(str(path), decoded(str(path), raw))


def from_text(name: str, text: str) -> People:
    """The people listed in a text; raises Refused with all its faults. ``name`` is the file name used in faults."""
    raw, form = parsed(name, text)
    reader = _Reader()
    reader.file(raw)
    if form or reader.wrong:
        lines = lines_of(text, {place for place, _ in reader.wrong})
        placed = [Fault(fault.place, fault.found, fault.allowed, lines[place]) for place, fault in reader.wrong]
        raise Refused(name, sorted([*form, *placed], key=lambda fault: fault.line or 0))
    return People(reader.keyed["subject"], reader.keyed["email"])


class _Reader:
    """Reads the entries one by one; ``wrong`` holds each fault with its place, ``keyed`` the people by subject and address."""

    def __init__(self) -> None:
        self.wrong: list[tuple[Place, Fault]] = []
        self.keyed: dict[str, dict[str, Listed]] = {"subject": {}, "email": {}}
        self._first: dict[tuple[str, str], int] = {}

    def fault(self, place: Place, found: str, allowed: str) -> None:
        self.wrong.append((place or ("format",), Fault(written(place), found, allowed)))

    def file(self, raw: Mapping[str, Any]) -> None:
        for key in raw.keys() - {"format", "people"}:
            self.fault((key,), "unknown key", "allowed: format, people")
        if type(raw.get("format")) is not int or raw["format"] != FORMAT:
            self.fault(("format",), f"found {raw.get('format')!r}", f"allowed: {FORMAT}")
        people = raw.get("people")
        if not isinstance(people, list) or not people:
            self.fault(("people",), "no list of people", "write one entry a person, at least one")
            return
        for at, entry in enumerate(people):
            self._person(at, entry)

    def _person(self, at: int, entry: Any) -> None:
        place: Place = ("people", at)
        if not isinstance(entry, dict):
            self.fault(place, f"found {entry!r}", "write {email: ..., name: ..., roles: [...]}")
            return
        for key in entry.keys() - set(FIELDS):
            self.fault((*place, key), "unknown key", f"allowed: {', '.join(FIELDS)}")
        texts = {key: self._text((*place, key), entry[key]) for key in ("subject", "email", "name") if key in entry}
        if not {"subject", "email"} & texts.keys():
            self.fault(place, "neither subject nor email", "give one of the two, to identify the person")
        if texts.get("email") and "@" not in texts["email"]:
            self.fault((*place, "email"), f"found {texts['email']!r}", "an e-mail address has an @")
        roles = self._roles((*place, "roles"), entry.get("roles"))
        systems = self._systems((*place, "systems"), entry["systems"], roles) if "systems" in entry else None
        listed = Listed(texts.get("name", ""), roles, systems)
        for fault in name_faults("name", texts["name"]) if texts.get("name") else ():
            self.fault((*place, "name"), fault.found, fault.allowed)
        for key, value in texts.items():
            if value:
                self._register(at, key, value, listed)

    def _text(self, place: Place, value: Any) -> str:
        if not isinstance(value, str) or not value.strip() or len(value) > LONGEST:
            allowed = f"text of at most {LONGEST} characters; put digits in quotes"
            self.fault(place, f"found {value!r:.60}", allowed)
            return ""
        return value.strip()

    def _roles(self, place: Place, value: Any) -> frozenset[str]:
        if not isinstance(value, list) or not value:
            self.fault(place, "no role", f"a list of at least one: {_ONE_OF}")
            return frozenset()
        for at, role in enumerate(value):
            if role not in ROLES:
                self.fault((*place, at), f"unknown role {role!r:.60}", _ONE_OF)
            elif role in value[:at]:
                self.fault((*place, at), f"{role} listed twice", "each role once")
        return frozenset(role for role in value if role in ROLES)

    def _systems(self, place: Place, value: Any, roles: frozenset[str]) -> frozenset[str]:
        if not isinstance(value, list) or not value:
            self.fault(place, "no system", "a list of at least one id, or leave it out to include all systems")
            return frozenset()
        if roles and MEMBER not in roles:
            self.fault(place, f"no {MEMBER}", f"only the role {MEMBER} can be limited to systems")
        named = [self._text((*place, at), entry) for at, entry in enumerate(value)]
        for at, system in enumerate(named):
            if system and system in named[:at]:
                self.fault((*place, at), f"{system} listed twice", "each system once")
        return frozenset(system for system in named if system)

    def _register(self, at: int, key: str, value: str, listed: Listed) -> None:
        """Record the owner of a subject, address or name; each belongs to one person."""
        same = {"subject": value, "email": _comparable_email(value), "name": comparable(value)}[key]
        first = self._first.setdefault((key, same), at)
        if first != at:
            why = ": the record tells people apart by it" if key == "name" else ""
            self.fault(("people", at, key), f"{value} is listed at people.{first} too", f"one entry a person{why}")
        elif key != "name":
            self.keyed[key][same] = listed
