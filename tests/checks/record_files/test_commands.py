"""``python -m checks verify`` and ``export``: exit status, output, and the journal afterwards."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from checks.__main__ import main
from checks.journal.append import COLUMNS, as_event
from checks.journal.hash_chain import START, chained
from checks.journal.store import Store
from checks.record_files import commands
from tests.checks.given import ROOT
from tests.checks.journal.stored import import_plant
from tests.checks.team import Team, founded, three_systems

Said = tuple[int, list[str], list[str]]


@pytest.fixture
def signed(story: Team, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Team]:
    """The database of the commands."""
    team = story.copy(tmp_path / "answers.sqlite3")
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")
    yield team
    team.store.engine.dispose()


def run(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> Said:
    """Exit status and lines of standard output and standard error."""
    status = main([str(argument) for argument in arguments])
    printed = capsys.readouterr()
    return status, printed.out.splitlines(), printed.err.splitlines()


def test_export_writes_a_file_that_verify_takes_and_stands_in_the_journal(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, file = signed.count(), tmp_path / "record.json"
    assert run(capsys, "export", "S30", "-o", file, "--by", "OW-2") == (0, [f"revision 1 of S30 is in {file}"], [])
    (last,) = signed.store.events(1, after=before)
    assert (last.kind, last.by, last.identity) == ("export", "OW-2", "user of this machine")
    assert last.content["what"] == "record"
    status, out, err = run(capsys, "verify", file)
    assert (status, err) == (0, [])
    assert out[0].startswith(f"{before + 1} events, each fits the one before; ")
    covered = signed.latest().signatures["security"].statement["journal"]["events"]
    assert [line.split(":")[0] for line in out[2:]] == [
        "safety half",
        "security half",
        f"standing on {datetime.now(UTC).date()}",
        "figures",
        f"held by a signature up to event {covered}; after that only by the export",
        "not shown by any file",
    ]


def test_an_earlier_revision_is_handed_out_by_its_number(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "record.json"
    assert run(capsys, "export", "S30", "--revision", "0", "-o", file)[0] == 0
    assert json.loads(file.read_text(encoding="utf-8"))["number"] == 0
    assert run(capsys, "verify", file)[0] == 0
    assert signed.store.events(1)[-1].content["number"] == 0


def test_export_says_who_ran_it_and_a_user_without_a_name_is_asked_for_one(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(commands, "getuser", lambda: "a-user")
    assert run(capsys, "export", "S30", "-o", tmp_path / "a")[0] == 0
    assert signed.store.events(1)[-1].by == "a-user"

    def nobody() -> str:
        raise KeyError("getpwuid(): uid not found: 4711")

    monkeypatch.setattr(commands, "getuser", nobody)
    status, printed, errors = run(capsys, "export", "S30", "-o", tmp_path / "b")
    assert (status, printed) == (2, [])
    assert errors == ["export: (command): the user of this machine has no name; say who exports with --by"]
    assert not (tmp_path / "b").exists()
    assert run(capsys, "export", "S30", "--by", "FA-1", "-o", tmp_path / "b")[0] == 0
    assert signed.store.events(1)[-1].by == "FA-1"


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["S99"], "a plant with system S99 is not in the store; choose one from the list"),
        (["S30", "--plant", "Elsewhere"], "plant 'Elsewhere' with system S30 is not in the store; choose one from the list"),
        (["S30", "--revision", "7"], "revision 7 of S30 is not there; it has 0 to 1"),
        (["S30", "--revision", "-1"], "revision -1 of S30 is not there; it has 0 to 1"),
        (["S40"], "S40 was never submitted for review, so there is no revision to export"),
    ],
)  # fmt: skip
def test_what_is_not_there_is_not_handed_out_and_leaves_no_file(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], why: str
) -> None:
    before, file = signed.count(), tmp_path / "record.json"
    assert run(capsys, "export", *arguments, "-o", file) == (2, [], [why])
    assert not file.exists()
    assert signed.count() == before


def test_of_two_plants_with_such_a_system_one_is_named(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    about = three_systems().plant.model_copy(update={"name": "Second Works"})
    import_plant(signed.store, three_systems().model_copy(update={"plant": about}), by="", writer="w")
    file = tmp_path / "record.json"
    status, _, (why,) = run(capsys, "export", "S30", "-o", file)
    assert (status, "one single plant with system S30 (name it with --plant)" in why) == (2, True)
    assert run(capsys, "export", "S30", "--plant", "Quillmarch Works", "-o", file)[0] == 0


@pytest.mark.parametrize(
    ("place", "why"),
    [
        ("/dev/full", "No space left on device"),
        ("none/record.json", "No such file or directory"),
        (".", "Is a directory"),
    ],
)
def test_a_file_that_cannot_be_written_is_told_in_one_line_and_nothing_is_recorded_as_handed_out(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str], place: str, why: str
) -> None:
    before, file = signed.count(), tmp_path / place
    lines = [f"{file}: (file): {why}; name a file that can be written"]
    assert run(capsys, "export", "S30", "-o", file) == (2, [], lines)
    assert signed.count() == before


def test_verify_follows_the_journal_of_every_plant_of_the_database(
    signed: Team, capsys: pytest.CaptureFixture[str]
) -> None:
    count, head = signed.store.verify(1)
    covered = signed.latest().signatures["security"].statement["journal"]["events"]
    lines = [
        f"Quillmarch Works: {count} events, each fits the one before. Last: {head}",
        f"Quillmarch Works: held by a signature up to event {covered}; after that only by this database",
    ]
    assert run(capsys, "verify") == (0, lines, [])


def touch(team: Team, *statements: str, rebuild: bool = False) -> None:
    """Change a database by other means than this program; rechain its journal on request."""
    team.store.engine.dispose()
    with closing(sqlite3.connect(team.path)) as connection:
        for statement in statements:
            assert connection.execute(statement).rowcount > 0, "nothing was touched"
        connection.row_factory = sqlite3.Row
        if rebuild:
            _chain_anew(connection)
        connection.commit()


class _Row:
    def __init__(self, row: sqlite3.Row) -> None:
        for name in COLUMNS:
            setattr(self, name, row[name])


def _chain_anew(connection: sqlite3.Connection) -> None:
    (journal,) = connection.execute("SELECT journal FROM plant").fetchone()
    head = START
    rows = connection.execute("SELECT * FROM event ORDER BY seq").fetchall()
    for row in rows:
        head = chained(head, as_event(_Row(row), journal).digest())
        connection.execute("UPDATE event SET hash = ? WHERE seq = ?", (head, row["seq"]))
    connection.execute("UPDATE plant SET head = ?, events = ?", (head, len(rows)))


ANSWER = "UPDATE event SET body = replace(body, 'walk-down 14', 'walk-down 15') WHERE kind = 'answer' AND body LIKE '%walk-down 14%'"


def test_an_answer_changed_in_the_database_is_found_by_verify_and_not_handed_out(
    signed: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    touch(signed, ANSWER)
    (at,) = (
        event.seq for event in signed.store.events(1, kinds=("answer",)) if event.content["evidence"] == "walk-down 15"
    )
    why = f"event {at}: it does not follow the event before it: one of the two was changed or moved"
    assert run(capsys, "verify") == (1, [], [f"Quillmarch Works: {why}"])
    file = tmp_path / "record.json"
    assert run(capsys, "export", "S30", "-o", file) == (1, [], [why])
    assert not file.exists()


def test_a_database_whose_journal_was_chained_anew_is_found_by_the_signatures(
    signed: Team, capsys: pytest.CaptureFixture[str]
) -> None:
    touch(signed, ANSWER, rebuild=True)
    assert signed.store.verify(1)[0] == signed.count(), "each event fits the one before"
    status, out, (why,) = run(capsys, "verify")
    assert (status, out) == (1, [])
    assert why.endswith(": based on another journal; an earlier event was changed, added or removed")


@pytest.mark.parametrize(
    ("statement", "why"),
    [
        ("UPDATE event SET body = replace(body, 'Twelve', 'Thirty') WHERE kind = 'signature' AND body LIKE '%\"system\":\"S50\"%'",
         "the signature of the safety half is not valid"),
        (("UPDATE event SET body = replace(body, '\"number\":0,\"plant', '\"number\":9,\"plant') "
         "WHERE kind = 'revision' AND body LIKE '%\"system\":\"S50\",\"to_confirm\"%'"),
         "this program never writes this form"),
        ("UPDATE event SET body = '{}' WHERE kind = 'key'", "this program never writes this form"),
        ("UPDATE event SET body = 'x' WHERE kind = 'signature'", "this program never writes this form"),
    ],
)  # fmt: skip
def test_a_signature_or_a_key_that_was_changed_in_the_database_is_named(
    signed: Team, capsys: pytest.CaptureFixture[str], statement: str, why: str
) -> None:
    touch(signed, statement, rebuild=True)
    status, out, (line,) = run(capsys, "verify")
    assert (status, out) == (1, [])
    assert line.startswith("Quillmarch Works: event ")
    assert line.endswith(why)


def test_the_process_ends_with_the_status_and_no_traceback(signed: Team, tmp_path: Path) -> None:
    file = tmp_path / "record.json"
    file.write_text(signed.export(), encoding="utf-8")
    bad = tmp_path / "bad.json"
    bad.write_text(file.read_text(encoding="utf-8").replace("one tray", "two trays"), encoding="utf-8")
    for path, status in ((file, 0), (bad, 1), (tmp_path, 2)):
        command = [sys.executable, "-m", "checks", "verify", str(path)]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)  # noqa: S603
        assert done.returncode == status
        assert "Traceback" not in done.stderr
        assert len(done.stderr.splitlines()) == (status > 0)


def test_a_record_is_verified_without_its_database(
    story_text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", "sqlite:////nowhere/at/all.sqlite3")
    (tmp_path / "record.json").write_text(story_text, encoding="utf-8")
    assert run(capsys, "verify", tmp_path / "record.json")[0] == 0


def test_a_store_tells_the_hash_after_each_event_and_none_after_the_last(tmp_path: Path) -> None:
    team = founded(tmp_path / "answers.sqlite3", three_systems())
    store: Store = team.store
    assert store.head(1, 1) == store.verify(1)[1]
    assert store.head(1, 2) == ""
