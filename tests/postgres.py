"""A private PostgreSQL server for tests: its data in a folder of its own, reached from this machine only."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import tempfile
from functools import cache
from pathlib import Path
from subprocess import DEVNULL, PIPE, STDOUT, Popen
from time import monotonic, sleep
from typing import Any, LiteralString

import psycopg
import pytest
from psycopg import sql

NEEDED = "SHARED_CAUSE_CI"
"""Environment variable: with 1 a machine without PostgreSQL is an error, else its tests are left out."""
DEBIAN = Path("/usr/lib/postgresql")
UNPRIVILEGED = ("postgres", "nobody")
SECONDS = 60

AS_NEW = """
DROP SCHEMA public CASCADE;
CREATE SCHEMA public AUTHORIZATION pg_database_owner;
GRANT USAGE ON SCHEMA public TO PUBLIC
"""


@cache
def binaries() -> Path | None:
    """Folder of the newest server on this machine; None where there is none.

    Debian keeps them off the PATH, a folder for each version.
    """
    found = [path.parent for path in DEBIAN.glob("*/bin/postgres")]
    if found:
        return max(found, key=lambda path: float(path.parent.name))
    control = shutil.which("pg_ctl")
    return Path(control).resolve().parent if control and shutil.which("postgres") else None


@cache
def backends() -> tuple[str, ...]:
    """Databases that the store is tried on here."""
    if binaries() is not None:
        return ("sqlite", "postgresql")
    if os.environ.get(NEEDED) == "1":
        raise pytest.UsageError(f"{NEEDED}=1 asks for PostgreSQL, but no server is on this machine: install postgresql")
    return ("sqlite",)


class Failed(RuntimeError):
    """A program of the server that failed; says what it printed."""


class Server:
    """A cluster of its own. A server that runs as root refuses to start, so root hands it to an unprivileged user."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="postgres-of-tests-"))
        self._as_user = _unprivileged(self.folder)
        self._data = self.folder / "data"
        self._process: Popen[str] | None = None
        self._made, self._empty = 0, list[str]()
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        self.run(
            "initdb", "--pgdata", self._data, "--username=postgres", "--auth=trust", "--encoding=UTF8", "--no-locale"
        )
        settings = (
            f"listen_addresses='127.0.0.1'\nport={self.port}\nunix_socket_directories='{self.folder}'\nfsync=on\n"
        )
        with (self._data / "postgresql.conf").open("a", encoding="utf-8") as file:
            file.write(settings)
        self.start()

    def run(self, name: str, *arguments: str | Path) -> None:
        """Run one of the server's programs to its end; its user, host and port are set."""
        where = {"PGHOST": "127.0.0.1", "PGPORT": str(self.port), "PGUSER": "postgres"}
        with self._begun(name, *arguments, env={**os.environ, **where}) as begun:
            said, _ = begun.communicate(timeout=SECONDS)
        if begun.returncode:
            raise Failed(f"{name}: {said}")

    def _begun(self, name: str, *arguments: str | Path, **more: Any) -> Popen[str]:
        folder = binaries()
        assert folder is not None
        command = [str(folder / name), *map(str, arguments)]
        more = {"stdout": PIPE, **self._as_user, **more}
        return Popen(command, cwd=self.folder, stdin=DEVNULL, stderr=STDOUT, text=True, **more)  # noqa: S603

    def start(self) -> None:
        """Start it, after a crash too, and wait until it answers.

        It stays a process of ours, so that it ends with the tests whatever ends them. What is left of one that was
        killed may be in the way of the next for a moment.
        """
        late = monotonic() + SECONDS
        while not self._answers():
            if monotonic() > late:
                raise Failed((self.folder / "log").read_text(encoding="utf-8"))
            if self._process is None or self._process.poll() is not None:
                with (self.folder / "log").open("a", encoding="utf-8") as log:
                    self._process = self._begun("postgres", "-D", self._data, stdout=log)
            sleep(0.05)

    def _answers(self) -> bool:
        try:
            self.tell(sql.SQL("SELECT 1"))
        except psycopg.OperationalError:
            return False
        return True

    def stop(self) -> None:
        """Stop it as if it had crashed: at once, and nothing is written that is not written yet."""
        self._end(signal.SIGQUIT)

    def kill(self) -> None:
        """Kill its first process as the kernel would when memory runs out; the others follow."""
        self._end(signal.SIGKILL)

    def _end(self, by: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(by)
            self._process.wait(SECONDS)

    def kill_one_that_serves(self, database: str) -> None:
        """Kill a process that serves a database; the server then ends all others, recovers and goes on."""
        busy = "SELECT pid FROM pg_stat_activity WHERE datname = {} ORDER BY state = 'active' DESC LIMIT 1"
        ((pid,),) = self.tell(sql.SQL(busy).format(database))
        os.kill(pid, signal.SIGKILL)

    def remove(self) -> None:
        """Stop it and remove everything it kept."""
        self.stop()
        shutil.rmtree(self.folder)

    def url(self, database: str) -> str:
        """URL of a database for the program."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/{database}"

    def tell(self, statement: sql.SQL | sql.Composed, database: str = "postgres") -> list[Any]:
        """Rows of one statement outside any transaction."""
        told = psycopg.connect(host="127.0.0.1", port=self.port, user="postgres", dbname=database, autocommit=True)
        with told as connection:
            done = connection.execute(statement)
            return done.fetchall() if done.description else []

    def new(self) -> str:
        """Name of a database with nothing in it."""
        return self._empty.pop() if self._empty else self.make("TEMPLATE template0")

    def make(self, options: LiteralString) -> str:
        """Name of a database made with these options."""
        self._made += 1
        name = f"test_{self._made}"
        self.tell(sql.SQL("CREATE DATABASE {} " + options).format(sql.Identifier(name)))
        return name

    def give_back(self, database: str) -> None:
        """Empty a database for the next one who asks, whoever is still connected: making one anew takes longer."""
        others = sql.SQL("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = {}").format(database)
        late = monotonic() + SECONDS
        while self.tell(others):
            if monotonic() > late:
                raise Failed(f"{database}: a connection that was ended stays")
            sleep(0.005)
        self.tell(sql.SQL("ALTER DATABASE {} RESET ALL").format(sql.Identifier(database)))
        self.tell(sql.SQL(AS_NEW), database)
        self._empty.append(database)


def _unprivileged(folder: Path) -> dict[str, Any]:
    """Arguments that start a program as an unprivileged user who owns the folder; none where we are one."""
    if os.geteuid() != 0:
        return {}
    import pwd  # noqa: PLC0415  (not on every system)

    known = {one.pw_name: one for one in pwd.getpwall()}
    user = next(known[name] for name in UNPRIVILEGED if name in known)
    os.chown(folder, user.pw_uid, user.pw_gid)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
