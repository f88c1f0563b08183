"""Files of the command line and of the server: read within a bound, and never written over what was read."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import NamedTemporaryFile

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
    _check_apart(path, inputs)
    with _refusing(path):
        if not path.exists():
            path.touch(mode=0o600)
        path.write_bytes(data)


@contextmanager
def replacing(path: Path, *inputs: Path) -> Iterator[Callable[[bytes], None]]:
    """Gives a function that writes data beside a file; they take its place at the end, unless something was raised before.

    Raises Refused as ``write`` does. What is no file, such as a pipe, is written at once.
    """
    _check_apart(path, inputs)
    place = path.resolve()
    beside: list[Path] = []

    def put(data: bytes) -> None:
        with _refusing(path):
            if place.exists() and (not place.is_file() or not os.access(place, os.W_OK)):
                place.write_bytes(data)  # a pipe, or the system says why it cannot be written
                return
            with NamedTemporaryFile(dir=place.parent, prefix=f".{place.name[:40]}.", delete=False) as file:
                beside.append(Path(file.name))
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            if place.exists():
                shutil.copymode(place, beside[-1])

    try:
        yield put
        with _refusing(path):
            for written in beside:
                written.replace(place)
    finally:
        for written in beside:
            written.unlink(missing_ok=True)


def _check_apart(path: Path, inputs: Iterable[Path]) -> None:
    """Raise Refused where the file to write is one of the files that were read."""
    if path.exists() and any(given.exists() and path.samefile(given) for given in inputs):
        raise Refused(str(path), [Fault("(file)", "this is an input of the command", "name another file to write")])


@contextmanager
def _refusing(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        why = error.strerror or "cannot be written"
        raise Refused(str(path), [Fault("(file)", why, "name a file that can be written")]) from error
