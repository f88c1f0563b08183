"""Sign-ins that somebody ended: kept in a private file, so that none is accepted again after a restart of the server."""

from __future__ import annotations

import os
import re
from hashlib import sha256
from pathlib import Path

_LINE = re.compile(r"([0-9]{1,12}) ([0-9a-f]{64})")


class SignOuts:
    """The ended sign-ins by the hash of their key, each until its token runs out by itself [s since 1970].

    Without a ``file`` they are forgotten with the process. Raises OSError where the file cannot be read or written.
    """

    def __init__(self, file: Path | None = None, *, now: float = 0.0) -> None:
        self.file = file
        self._ends: dict[str, float] = {}
        if file is not None:
            file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._read(file, now)

    def __contains__(self, key: str) -> bool:
        """Whether the sign-in with this key was ended."""
        return _hashed(key) in self._ends

    def add(self, key: str, ends: float) -> None:
        """End a sign-in whose token runs out at ``ends``; it is on the disk when this returns."""
        hashed = _hashed(key)
        if hashed in self._ends:
            return
        self._ends[hashed] = ends
        if self.file is not None:
            _append(self.file, f"{int(ends)} {hashed}\n")

    def forget(self, now: float) -> None:
        """Forget those whose token has run out."""
        self._ends = {key: ends for key, ends in self._ends.items() if now < ends + 1}

    def _read(self, file: Path, now: float) -> None:
        """Read the file, and write it again without those whose token has run out. A line cut short by a crash is passed over."""
        lines = file.read_text(encoding="ascii", errors="replace").splitlines() if file.exists() else []
        for line in filter(None, map(_LINE.fullmatch, lines)):
            self._ends[line[2]] = float(line[1])
        self.forget(now)
        again = file.with_suffix(".new")
        again.unlink(missing_ok=True)
        _append(again, "".join(f"{int(ends)} {key}\n" for key, ends in self._ends.items()))
        again.replace(file)


def _hashed(key: str) -> str:
    return sha256(key.encode()).hexdigest()


def _append(file: Path, text: str) -> None:
    descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(descriptor, "w", encoding="ascii") as opened:
        opened.write(text)
        opened.flush()
        os.fsync(opened.fileno())
