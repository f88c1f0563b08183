"""Unchanged record files: verified anywhere, with what they show and what they cannot show."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest

from checks.journal.hash_chain import ChainBroken
from checks.record_files import record_file
from checks.record_files.verification import LIMITS
from checks.revision import basis, fingerprint
from scoring import erosion
from tests.checks.record_files.handed import verdict
from tests.checks.team import DAY, OF_S50, Team, ahead

FIGURES = "figures: fits; computed again from the facts, no difference"


def findings(team: Team, text: str) -> list[str]:
    """Lines of verify for a good record between the first two and the last two."""
    status, lines = verdict(text)
    assert status == 0, lines
    count = team.count()
    data = json.loads(text)
    shown = sum("event" in event for event in data["events"])
    assert lines[0].startswith(
        f"{count} events, each fits the one before; {shown} are shown, {count - shown} are sealed: "
    )
    assert lines[0].endswith(f" Last: {team.store.head(1, count)}")
    digest = basis.hash_of(data["revision"])
    assert lines[1] == f"revision {data['number']} of {data['system']}, Quillmarch Works: SHA-256 {digest}"
    assert lines[-1] == LIMITS
    assert lines[-2].startswith("held by ")
    assert lines[-2].endswith("only by the export")
    return [line for line in lines[2:-2] if not line.startswith("standing on ")]


def signed(team: Team, half: str, more: str = "") -> str:
    name = {"safety": "IA-1", "security": "SR-1"}[half]
    return f"{half} half: signed by {name}, {DAY}, key {team.key_of(half)} (enrolled by OW-1){more}; open actions: none"


def test_a_record_that_nobody_signed(team: Team) -> None:
    team.put_up()
    assert findings(team, team.export()) == ["safety half: not signed", "security half: not signed", FIGURES]


def test_a_record_of_which_one_half_is_signed(team: Team) -> None:
    team.put_up()
    team.sign("security")
    assert findings(team, team.export()) == ["safety half: not signed", signed(team, "security"), FIGURES]


def test_a_signed_record_with_its_conditions(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(30))
    team.sign("security")
    more = f"; with conditions, until {ahead(30)}"
    safety, security = (
        signed(team, half, words).replace("none", "A-001") for half, words in (("safety", more), ("security", ""))
    )
    assert findings(team, team.export()) == [safety, security, FIGURES]


def test_a_record_whose_key_was_withdrawn_says_that_the_signature_does_not_count(team: Team) -> None:
    team.signed()
    team.withdraw("safety", 0)
    more = f"; does not count: the key was withdrawn from {ahead(0)} on"
    assert findings(team, team.export())[0] == signed(team, "safety", more)


def test_a_key_withdrawn_after_the_signature_leaves_it_counting(team: Team) -> None:
    team.signed()
    team.withdraw("safety", 1)
    assert findings(team, team.export())[0] == signed(team, "safety")


def test_a_half_that_was_signed_again_with_another_key(team: Team) -> None:
    team.signed()
    team.withdraw("safety", 0)
    team.keys["safety"] = team.enrol("safety")
    team.sign("safety")
    text = team.export()
    assert findings(team, text) == [signed(team, "safety"), signed(team, "security"), FIGURES]
    assert [block["half"] for block in json.loads(text)["signatures"]] == ["safety", "security", "safety"]


def test_a_record_of_a_void_revision_says_what_voided_it(team: Team) -> None:
    revision = team.signed()
    team.say("PRO1", "plant", "partly")
    why = f"void: PRO1 of plant was answered partly, {DAY}, by TM-1 (event {team.count()})"
    assert findings(team, team.export(revision))[0] == why


def test_each_revision_of_a_long_story_verifies(story: Team, tmp_path: Path) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    for system, number in (("S30", 0), ("S30", 1), ("S50", 0)):
        revision = team.now().records.revisions[system][number]
        assert FIGURES in findings(team, team.export(revision))


def test_events_of_other_systems_are_sealed_and_their_words_stand_nowhere(story_text: str) -> None:
    assert OF_S50 not in story_text
    data = json.loads(story_text)
    kinds = {event["event"]["kind"] for event in data["events"] if "event" in event}
    assert kinds == {
        "answer",
        "evidence",
        "dissent",
        "dissent-closed",
        "attendance",
        "gap-accepted",
        "key",
        "revision",
        "signature",
        "export",
    }
    hidden = [event for event in data["events"] if "event" not in event]
    assert len(hidden) == 4, "the plant data, an answer for S50, its revision and its signature"
    assert all(set(event) == {"digest", "hash", "seq"} for event in hidden)


def test_the_export_stands_in_the_journal_and_in_the_record_as_its_last_event(team: Team) -> None:
    revision = team.put_up()
    before = team.count()
    data = json.loads(team.export(revision))
    assert team.count() == before + 1
    last = data["events"][-1]
    assert last["event"]["kind"] == "export"
    assert last["body"] == {
        "system": "S30",
        "number": 0,
        "what": "record",
        "events": before,
        "shown": before - 1,
    }
    assert data["exported"] == {"at": last["event"]["at"], "by": "OW-1", "identity": "self-declared"}


def test_a_record_reads_back_as_what_was_written(story: Team, story_text: str) -> None:
    record = record_file.from_text("FILE", story_text)
    stored = {event.seq: event for event in story.store.events(1)}
    assert all(stored[event.seq] == event for event in record.events if event.kind != "export" or event.seq in stored)
    revision = record.of(1)
    assert revision is not None
    assert (revision.hash, set(revision.signatures)) == (story.latest().hash, {"safety", "security"})
    assert record.of(9) is None


def test_a_changed_program_says_which_figures_it_computes_otherwise_and_calls_nothing_forged(
    story_text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(erosion.Cases, "benefit_kept", property(lambda cases: 2.0 * cases.single / cases.adjusted))
    monkeypatch.setattr(fingerprint, "of", lambda _: "0" * 64)
    status, lines = verdict(story_text)
    assert status == 0
    (line_printed,) = (
        line for line in lines if line.startswith("figures: computed by another edition of the program; ")
    )
    assert "The stored ones are what was signed" in line_printed
    assert any("benefit_kept" in line and "(+100.00%)" in line for line in lines)


def test_a_journal_that_somebody_touched_is_not_handed_out(team: Team) -> None:
    revision = team.put_up()
    with team.store.engine.begin() as connection:
        connection.exec_driver_sql(
            "UPDATE event SET body = replace(body, 'walk-down 12', 'walk-down 13') WHERE seq = 5"
        )
    before = team.count()
    with pytest.raises(ChainBroken, match=r"^event 5: "):
        team.export(revision)
    assert team.count() == before


def test_a_record_of_another_day_verifies_alike(team: Team) -> None:
    revision = team.signed()
    later = team.on(DAY + timedelta(days=900))
    assert verdict(later.export(revision))[0] == 0
