"""The commands ``verify``, ``export`` and ``report``. Imported only on use, since they need the database."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from functools import partial
from getpass import getpass, getuser
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import OWNER, Person
from checks.journal.errors import NoSuchPlant, StoreUnavailable
from checks.journal.hash_chain import ChainBroken
from checks.journal.store import Store
from checks.record_files import exports, printed_hashes, record_file, verification
from checks.record_files.exports import NoRevision
from checks.record_files.printed_hashes import NotThere
from checks.record_files.record_file import Record
from checks.record_files.verification import Tampered
from checks.signoff import signatures
from checks.signoff.signatures import KeyRefused
from checks.text import files
from checks.text.faults import Fault, Refused, printable

Command = Callable[[argparse.Namespace], Iterator[str]]
OnPaper = Callable[[Record, str | None], bytes]
"""Prints a verified record as PDF: the annex for a recipient, the safety report without one."""


def run(chosen: argparse.Namespace, *, on_paper: OnPaper) -> int:
    """Run the chosen command and return its exit status: 1 for a record that was changed or a hash that is not there, 2 for invalid input.

    The frame passes ``on_paper``, since this layer imports no page.
    """
    commands: dict[str, Command] = {"verify": _verify, "export": _export, "report": partial(_report, on_paper=on_paper)}
    try:
        for line in commands[chosen.command](chosen):
            print(printable(line))
    except (Tampered, ChainBroken, NotThere) as error:
        print(printable(str(error)), file=sys.stderr)
        return 1
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    except (StoreUnavailable, NoSuchPlant, NoRevision, KeyRefused) as error:
        print(printable(str(error)), file=sys.stderr)
        return 2
    return 0


def _verify(chosen: argparse.Namespace) -> Iterator[str]:
    if chosen.printed is not None:
        digest = printed_hashes.of(chosen.printed)
        if chosen.file:
            return printed_hashes.in_file(chosen.file, digest)
        return printed_hashes.in_store(Store(create=False), digest)
    return verification.verify_file(chosen.file) if chosen.file else verification.verify_store(Store(create=False))


def _export(chosen: argparse.Namespace) -> Iterator[str]:
    live = exports.plant_with(Store(create=False), chosen.system, chosen.plant)
    revision = exports.revision_of(live, chosen.system, chosen.revision)
    # The user of this command can read the database anyway, so no role is checked.
    name = chosen.by or _user()
    if not name:
        raise Refused(
            "export", [Fault("(command)", "the user of this machine has no name", "say who exports with --by")]
        )
    person = Person(name, frozenset({OWNER}), "user of this machine")
    private, hint = _private_key(chosen.key) if chosen.key else (None, "")
    inputs = [path for path in (chosen.key, live.store.path) if path is not None]
    with files.replacing(chosen.output, *inputs) as put:
        exports.export(live, person, revision, keep=lambda text: put(text.encode()), private=private)
    yield f"revision {revision.number} of {revision.system} is in {chosen.output}"
    if hint:
        yield hint


def _private_key(path: Path) -> tuple[Ed25519PrivateKey, str]:
    """The key of a file, opened with the passphrase that is typed, and a hint about it; raises Refused and KeyRefused."""
    file = files.read(path, "a key file", signatures.LARGEST_FILE)
    try:
        phrase = getpass(f"Passphrase of {path.name}: ")
    except EOFError as error:  # there is nobody at the terminal
        raise KeyRefused("no passphrase was given", "type it when it is asked for") from error
    return signatures.unlock(file, phrase), signatures.hint(file)


def _report(chosen: argparse.Namespace, *, on_paper: OnPaper) -> Iterator[str]:
    reader = _reader(chosen)
    record = verification.verified(record_file.read(chosen.file))
    files.write(chosen.output, on_paper(record, reader), chosen.file)
    what = "safety report" if reader is None else f"security annex for {reader}"
    yield f"{what}, revision {record.number} of {record.system}, is in {chosen.output}"


def _reader(chosen: argparse.Namespace) -> str | None:
    """The recipient of an annex, None for the safety report; raises Refused where the options do not match."""
    reader = " ".join((chosen.reader or "").split())
    if chosen.annex and not reader:
        raise Refused(
            "report", [Fault("--reader", "missing", "an annex names its recipient on every page: say who it is for")]
        )
    if chosen.reader is not None and not chosen.annex:
        raise Refused("report", [Fault("--reader", "not for the safety report", "add --annex, or leave it out")])
    return reader if chosen.annex else None


def _user() -> str:
    """Name of the user of this machine; empty where there is none, as in some containers."""
    try:
        return getuser()
    except (OSError, KeyError):  # OSError from Python 3.13 on
        return ""
