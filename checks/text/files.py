"""Files of the command line and of the server: read within a bound, and never written over what was read."""

from __future__ import annotations

from pathlib import Path

from checks.text.faults import Fault, Refused


def read(path: Path, what: str, most: int) -> bytes:
    """The bytes of a file; raises Refused where it cannot be read, or is larger than ``most`` bytes.

    ``what`` says in the refusal which file is wanted. A pipe or a device has no size, so no more is read than is allowed.
    """
    try:
        with path.open("rb") as file:
            raw = file.read(most + 1)
    except OSError as error:
        why = error.strerror or "cannot be read"
        raise Refused(str(path), [Fault("(file)", why, f"name {what} that can be read")]) from error
    if len(raw) > most:
        raise Refused(str(path), [Fault("(file)", f"larger than {most // 10**6} MB", f"name {what}")])
    return raw


def write(path: Path, data: bytes, *inputs: Path) -> None:
    """Write a file; raises Refused where it cannot be written, or is one of the files that were read.

    A new file is readable by its owner only.
    """
    if path.exists() and any(given.exists() and path.samefile(given) for given in inputs):
        raise Refused(str(path), [Fault("(file)", "this is an input of the command", "name another file to write")])
    try:
        if not path.exists():
            path.touch(mode=0o600)
        path.write_bytes(data)
    except OSError as error:
        why = error.strerror or "cannot be written"
        raise Refused(str(path), [Fault("(file)", why, "name a file that can be written")]) from error
