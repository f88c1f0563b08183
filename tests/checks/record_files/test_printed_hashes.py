"""A hash on paper is found in the database and in the record file, or said not to be there."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.__main__ import main
from checks.record_files import exports, record_file
from tests.checks.record_files.test_no_database import in_sqlite
from tests.checks.team import DAY, LEADS, OWNS, Team, every_answer, founded, three_systems


@pytest.fixture
def named(team: Team, monkeypatch: pytest.MonkeyPatch) -> Team:
    """A team whose database the commands read."""
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")
    return team


def printed(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, list[str], list[str]]:
    """Status, what was found, and errors of ``verify --printed``."""
    status = main(["verify", "--printed", *map(str, arguments)])
    captured = capsys.readouterr()
    found = [line for line in captured.out.splitlines() if line.startswith("found: ")]
    return status, found, captured.err.splitlines()


def test_what_a_report_printed_is_found_in_the_database_after_later_events(
    named: Team, capsys: pytest.CaptureFixture[str]
) -> None:
    revision = named.signed()
    record = exports.preview(named.live, OWNS, revision, "safety report")
    exports.handed_out_print(named.live, OWNS, record)
    named.say("SEP1", "group:pt-301", "partly")
    head = record.made_from
    line = f"found: {head.hash} is the hash of the audit trail of Quillmarch Works after event {head.seq} (signature, {DAY}, by SR-1)"
    assert printed(capsys, head.hash) == (0, [line], [])
    at = revision.cause.seq
    line = f"found: {revision.hash} is the SHA-256 of revision 0 of S30, Quillmarch Works (event {at}, {DAY})"
    assert printed(capsys, revision.hash) == (0, [line], [])


def test_a_hash_is_found_in_a_record_file_by_its_event_even_a_sealed_one(
    named: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    revision = named.signed()
    file = tmp_path / "S30.json"
    file.write_text(named.export(), encoding="utf-8")
    monkeypatch.setenv("SHARED_CAUSE_DB", "sqlite:////nowhere/at/all.sqlite3")
    record = record_file.read(file)
    for digest, event in (
        (record.head, f"{len(record.chain)} (export, {DAY}, by OW-1)"),
        (record.chain[0].hash, "1 (sealed)"),
    ):
        line = f"found: {digest} is the hash of the audit trail of Quillmarch Works after event {event}"
        assert printed(capsys, digest, file) == (0, [line], [])
    assert printed(capsys, revision.hash, file)[0] == 0


def test_of_several_plants_the_one_is_named(named: Team, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    about = three_systems().plant.model_copy(update={"name": "Second Works"})
    other = founded(
        tmp_path / "other.sqlite3", three_systems().model_copy(update={"plant": about, "answers": every_answer()})
    )
    key = named.store.take_over(other.store, other.live.key)
    digest = named.store.head(key, 1)
    status, (line,), _ = printed(capsys, digest)
    assert status == 0
    assert line.endswith(
        f"is the hash of the audit trail of Second Works after event 1 (plant-data, {DAY}, by {LEADS.name})"
    )


def test_a_hash_as_it_was_copied_from_paper_is_found(named: Team, capsys: pytest.CaptureFixture[str]) -> None:
    revision = named.put_up()
    assert printed(capsys, f" {revision.hash[:30].upper()} {revision.hash[30:]}")[0] == 0


def test_a_hash_that_is_not_there_is_said_with_status_1(
    named: Team, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    digest = named.put_up().hash[::-1]
    why = f"not there: no event and no revision of this database has the hash {digest}"
    assert printed(capsys, digest) == (1, [], [why])
    file = tmp_path / "S30.json"
    file.write_text(named.export(), encoding="utf-8")
    assert printed(capsys, digest, file) == (1, [], [why.replace("this database", str(file))])


def test_a_changed_database_is_said_to_be_changed_and_nothing_is_found_in_it(
    named: Team, capsys: pytest.CaptureFixture[str]
) -> None:
    revision = named.put_up()
    named.store.engine.dispose()
    in_sqlite(named.path, "UPDATE event SET body = replace(body, 'walk-down 12', 'walk-down 13') WHERE seq = 5")
    status, found, (why,) = printed(capsys, revision.hash)
    assert (status, found) == (1, [])
    assert why.startswith("Quillmarch Works: event ")


@pytest.mark.parametrize(
    ("text", "found"), [("abc", "3 characters"), ("", "0 characters"), ("g" * 64, "other characters")]
)
def test_what_is_no_hash_is_refused(text: str, found: str, capsys: pytest.CaptureFixture[str]) -> None:
    why = f"verify: --printed: {found}; give all 64 hexadecimal digits of a printed SHA-256"
    assert printed(capsys, text) == (2, [], [why])
