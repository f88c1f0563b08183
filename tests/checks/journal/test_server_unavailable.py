"""An unusable PostgreSQL server gives a sentence that says what to do; no wait is unlimited."""

from __future__ import annotations

import re

import psycopg
import pytest
from psycopg import sql
from sqlalchemy.exc import DBAPIError

from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.recording import plants
from checks.state.live import Live
from tests.checks.given import answer, bare_plant
from tests.checks.journal.stored import history, import_plant, save, say
from tests.checks.team import LEADS
from tests.postgres import Server

OF = "group:pt-301"
SENTENCE = re.compile(r"^[^\n]+\. Nothing stored was lost; [^\n]+\.$")


def refused(url: str) -> str:
    """Message of a store that cannot be opened."""
    with pytest.raises(StoreUnavailable) as refusal:
        Store(url)
    assert SENTENCE.match(str(refusal.value)), str(refusal.value)
    return str(refusal.value)


@pytest.fixture
def store(postgresql_url: str) -> Store:
    """An empty store on a server."""
    return Store(postgresql_url)


@pytest.mark.parametrize("prefix", ["postgresql", "postgresql+psycopg"])
def test_a_plain_url_and_one_that_names_the_driver_open_the_same(postgresql_url: str, prefix: str) -> None:
    store = Store(postgresql_url.replace("postgresql", prefix, 1))
    assert store.plants() == {}
    assert store.engine.driver == "psycopg"


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (("postgres@127.0.0.1", "nobody-known@127.0.0.1"), 'role "nobody-known" does not exist'),
        (("/test_", "/not_there_"), "does not exist"),
        (("127.0.0.1", "no-such-host.invalid"), "no-such-host.invalid"),
    ],
    ids=["role", "database", "host"],
)
def test_what_the_server_says_is_told_in_one_line(postgresql_url: str, changed: tuple[str, str], expected: str) -> None:
    url = postgresql_url.replace(*changed)
    assert url != postgresql_url
    message = refused(url)
    assert expected in message
    assert "check that its server runs, can be reached and has room on its disk" in message


def test_an_address_where_nobody_listens_is_told(server: Server) -> None:
    assert "refused" in refused(server.url("any").replace(str(server.port), "1"))


@pytest.mark.parametrize("encoding", ["SQL_ASCII", "LATIN1"])
def test_a_database_that_cannot_hold_every_letter_is_refused_before_anything_is_in_it(
    server: Server, encoding: str
) -> None:
    name = server.make(f"TEMPLATE template0 ENCODING '{encoding}' LC_COLLATE 'C' LC_CTYPE 'C'")
    message = refused(server.url(name))
    assert f"keeps its text as {encoding}" in message
    assert "ENCODING 'UTF8'" in message
    assert server.tell(sql.SQL("SELECT tablename FROM pg_tables WHERE schemaname = 'public'"), name) == []


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ("synchronous_commit", "on"),
        ("lock_timeout", "10s"),
        ("statement_timeout", "1min"),
        ("idle_in_transaction_session_timeout", "1min"),
        ("client_encoding", "UTF8"),
    ],
)
def test_every_connection_is_set_to_lose_nothing_and_to_wait_for_an_end(
    store: Store, server: Server, setting: str, value: str
) -> None:
    server.tell(sql.SQL("ALTER DATABASE {} SET synchronous_commit = off").format(sql.Identifier(database(store))))
    store.engine.dispose()
    with store.engine.connect() as first, store.engine.connect() as second:
        for connection in (first, second):
            assert connection.exec_driver_sql(f"SHOW {setting}").scalar() == value


def database(store: Store) -> str:
    name = store.engine.url.database
    assert name is not None
    return name


def test_what_the_url_says_of_waiting_holds(postgresql_url: str) -> None:
    store = Store(f"{postgresql_url}?options=-c%20lock_timeout%3D200ms&connect_timeout=3")
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SHOW lock_timeout").scalar() == "200ms"
        assert connection.exec_driver_sql("SHOW statement_timeout").scalar() == "1min"
    assert store.engine.url.query["connect_timeout"] == "3"


@pytest.mark.parametrize(
    ("limit", "expected"), [("lock_timeout", "due to lock timeout"), ("statement_timeout", "due to statement timeout")]
)
def test_an_answer_waits_no_longer_than_the_limit_and_is_taken_once_the_plant_is_free(
    store: Store, postgresql_url: str, limit: str, expected: str
) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    first = say(store, key, "SEP1", OF)
    with psycopg.connect(postgresql_url) as holder:
        holder.execute("SELECT id FROM plant FOR UPDATE")
        impatient = Store(f"{postgresql_url}?options=-c%20{limit}%3D500ms")
        with pytest.raises(StoreUnavailable, match=expected) as refusal:
            save(impatient, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
        assert SENTENCE.match(str(refusal.value))
        with pytest.raises(StoreUnavailable, match=expected):
            import_plant(impatient, bare_plant(), by="", writer="w")
        assert history(store, key, "SEP1", OF) == [first], "one can read while another writes"
        holder.rollback()
    second = save(store, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(store, key, "SEP1", OF) == [first, second]


def test_a_database_that_can_only_be_read_shows_everything_and_takes_nothing(store: Store, server: Server) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    first = say(store, key, "SEP1", OF)
    name = sql.Identifier(database(store))
    server.tell(sql.SQL("ALTER DATABASE {} SET default_transaction_read_only = on").format(name))
    store.engine.dispose()
    again = Store(str(store.engine.url))
    with pytest.raises(StoreUnavailable, match="read-only transaction"):
        save(again, key, answer("SEP1", OF, "not-met"), seen=first.id, writer="w")
    assert history(again, key, "SEP1", OF) == [first]


FULL = """
CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS
$$BEGIN RAISE EXCEPTION 'could not extend file: No space left on device' USING ERRCODE = 'disk_full'; END$$;
CREATE TRIGGER full_disk BEFORE INSERT ON event FOR EACH ROW EXECUTE FUNCTION full_disk()
"""
"""The server's error for a full disk (PostgreSQL documentation, appendix A, class 53), without filling one."""


def test_a_full_disk_of_the_server_is_told_and_answers_are_taken_once_there_is_room(
    store: Store, server: Server
) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    first = say(store, key, "SEP1", OF)
    server.tell(sql.SQL(FULL), database(store))
    with pytest.raises(StoreUnavailable, match="No space left on device") as refusal:
        say(store, key, "SEP1", OF, "not-met")
    assert SENTENCE.match(str(refusal.value))
    assert "has room on its disk" in str(refusal.value)
    assert history(store, key, "SEP1", OF) == [first]
    server.tell(sql.SQL("DROP TRIGGER full_disk ON event"), database(store))
    assert say(store, key, "SEP1", OF, "not-met").follows == first.id


def test_tables_that_went_away_are_told(store: Store, server: Server) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    server.tell(sql.SQL("DROP TABLE event"), database(store))
    with pytest.raises(StoreUnavailable, match='relation "event" does not exist'):
        store.version(key)


RIGHTS = """
CREATE ROLE {user} LOGIN;
GRANT SELECT ON release, plant, event TO {user};
GRANT INSERT ON plant, event TO {user};
GRANT UPDATE (events, head, name) ON plant TO {user};
GRANT USAGE ON SEQUENCE plant_id_seq TO {user}
"""
"""The rights of README.md for a user who can append to a journal and cannot change it."""


def test_a_user_who_may_only_append_can_do_all_that_the_program_does_and_change_nothing(
    store: Store, server: Server
) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    user = f"appends_to_{database(store)}"
    server.tell(sql.SQL(RIGHTS).format(user=sql.Identifier(user)), database(store))
    theirs = Store(server.url(database(store)).replace("postgres@", f"{user}@"))
    other = bare_plant().model_copy(update={"plant": bare_plant().plant.model_copy(update={"name": "Other"})})
    other_key = import_plant(theirs, other, by="", writer="w")
    assert other_key == key + 1
    say(theirs, key, "SEP1", OF)
    assert theirs.verify(key)[0] == 2
    plants.rename(Live(theirs, other_key), LEADS, "Another name")
    assert theirs.plants()[other_key] == "Another name"
    for change in ("UPDATE event SET body = ''", "DELETE FROM event", "DELETE FROM plant", "DROP TABLE event"):
        with theirs.engine.connect() as connection, pytest.raises(DBAPIError, match=r"permission denied|must be owner"):
            connection.exec_driver_sql(change)


def test_no_connection_is_left_in_a_transaction_and_few_are_left_open(store: Store, server: Server) -> None:
    key = import_plant(store, bare_plant(), by="", writer="w")
    for number in range(30):
        say(store, key, "SEP1", OF, ("met", "not-met")[number % 2])
        store.version(key)
    with pytest.raises(LookupError):
        store.version(key + 1)
    store.verify(key)
    query = sql.SQL("SELECT state FROM pg_stat_activity WHERE datname = {}").format(database(store))
    states = [state for (state,) in server.tell(query)]
    assert set(states) == {"idle"}
    assert len(states) == 1, "one who asks one thing after the other needs one connection"
