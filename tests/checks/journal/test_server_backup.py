"""A PostgreSQL database dumped and restored with the commands of README.md holds the same journal."""

from __future__ import annotations

import re

from checks.journal.store import Store
from tests.checks.given import bare_plant
from tests.checks.journal.stored import import_plant, say
from tests.postgres import Server

BACKUP = "pg_dump --format=custom --file=review.dump review"
RESTORE = (
    "createdb --template=template0 --encoding=UTF8 review_again",
    "pg_restore --exit-on-error --single-transaction --dbname=review_again review.dump",
)
"""The commands of README.md without the owner."""


def run(server: Server, command: str, **names: str) -> None:
    """Run a command of README.md on databases with other names."""
    words = re.split(r"([ =])", command)
    program, *arguments = "".join(names.get(word, word) for word in words).split()
    server.run(program, *arguments)


def test_a_dump_made_while_the_program_runs_restores_to_the_same_head(postgresql_url: str, server: Server) -> None:
    store = Store(postgresql_url)
    key = import_plant(store, bare_plant(), by="", writer="w")
    for name in ("SEP1", "SEP4", "DIV3"):
        say(store, key, name, "group:pt-301", note="漢字 🏭 \\ ' \" \t\n")
    before = store.verify(key)
    database = postgresql_url.rpartition("/")[2]
    run(server, BACKUP, review=database)
    say(store, key, "DIV8", "group:pt-301")
    for command in RESTORE:
        run(server, command, review_again=f"{database}_again")
    again = Store(f"{postgresql_url}_again")
    assert again.verify(key) == before
    assert again.events(key) == store.events(key)[:-1]
    say(again, key, "SEP1", "group:pt-301", "not-met")
    assert again.verify(key)[0] == before[0] + 1
    other = bare_plant().model_copy(update={"plant": bare_plant().plant.model_copy(update={"name": "Other"})})
    assert import_plant(again, other, by="", writer="w") == key + 1, "numbers go on where they were"
    server.give_back(f"{database}_again")
