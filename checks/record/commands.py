"""Commands over records: ``verify`` and ``export``. Read only when asked for, since they need the database."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from getpass import getuser

from checks.faults import Fault, Refused, printable
from checks.record import exporting, verifying
from checks.record.exporting import NoRevision
from checks.record.journal import ChainBroken
from checks.record.people import OWNER, Person
from checks.record.verifying import Tampered
from checks.store.errors import NoSuchPlant, StoreUnavailable
from checks.store.store import Store


def run(chosen: argparse.Namespace) -> int:
    """Run the chosen command and return its exit status: 1 where a record is not what was written."""
    try:
        for line in {"verify": _verify, "export": _export}[chosen.command](chosen):
            print(printable(line))
    except (Tampered, ChainBroken) as error:
        print(printable(str(error)), file=sys.stderr)
        return 1
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    except (StoreUnavailable, NoSuchPlant, NoRevision) as error:
        print(printable(str(error)), file=sys.stderr)
        return 2
    return 0


def _verify(chosen: argparse.Namespace) -> Iterator[str]:
    return verifying.verify_file(chosen.file) if chosen.file else verifying.verify_store(Store())


def _export(chosen: argparse.Namespace) -> Iterator[str]:
    live = exporting.plant_with(Store(), chosen.system, chosen.plant)
    revision = exporting.revision_of(live, chosen.system, chosen.revision)
    # Whoever runs this command has the database in hand already: no role is asked for.
    person = Person(chosen.by or _user(), frozenset({OWNER}), "user of this machine")
    text = exporting.export(live, person, revision)
    try:
        chosen.output.write_text(text, encoding="utf-8")
    except OSError as error:
        why = error.strerror or "cannot be written"
        raise Refused(str(chosen.output), [Fault("(file)", why, "name a file that can be written")]) from error
    yield f"revision {revision.number} of {revision.system} is in {chosen.output}"


def _user() -> str:
    """Name of the user of this machine; empty where it has none, as in some containers."""
    try:
        return getuser()
    except (OSError, KeyError):  # OSError from Python 3.13 on
        return ""
