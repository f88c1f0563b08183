"""Exports while others work, and exports that fail: the journal says what left the program, and a record fits it."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from threading import Event as Flag

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, Person
from checks.journal.store import Store
from checks.record_files import exports, record_file, verification
from checks.record_files.record_file import Record
from checks.recording import recorder
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live
from checks.text.faults import Refused
from tests.checks.journal.stored import import_plant, say
from tests.checks.record_files.handed import verdict
from tests.checks.team import LEADS, OWNS, Team, body_of, every_answer, three_systems

EXPORTS, WRITERS = 6, 3


def test_every_record_verifies_that_is_exported_while_others_store(store: Store) -> None:
    plant = three_systems().model_copy(update={"answers": every_answer()})
    key = import_plant(store, plant, by=LEADS.name, writer="w")
    live = Live(store, key)
    revisions.submit(live, LEADS, "S30")
    (revision,) = live.state().records.revisions["S30"]
    done = Flag()

    def answers(writer: int) -> None:
        for number in count():
            if done.is_set():
                return
            say(store, key, f"SEP{writer + 1}", "group:lt-501", ("met", "not-met")[number % 2])

    with ThreadPoolExecutor(WRITERS) as pool:
        writing = [pool.submit(answers, writer) for writer in range(WRITERS)]
        try:
            texts = [exports.export(live, OWNS, revision) for _ in range(EXPORTS)]
        finally:
            done.set()
        for each in writing:
            each.result()
    assert [verdict(text)[0] for text in texts] == [0] * EXPORTS
    exported = store.events(key, kinds=("export",))
    assert [event.content["events"] for event in exported] == [event.seq - 1 for event in exported]
    numbers = [event.seq for event in exported]
    assert numbers[-1] - numbers[0] >= EXPORTS, "the others did store something meanwhile"
    store.verify(key)


def test_an_event_stored_between_the_reading_and_the_export_is_in_the_record(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    revision, chain = team.put_up(), team.store.chain

    def and_then(key: int) -> object:
        links = chain(key)
        team.say("SEP1", "group:pt-301", "partly", evidence="walk-down 19")
        return links

    monkeypatch.setattr(team.store, "chain", and_then)
    text = team.export(revision)
    status, lines = verdict(text)
    assert (status, "walk-down 19" in text) == (0, True)
    assert any(line.startswith("void: SEP1 of group:pt-301 was answered partly") for line in lines)


def test_a_record_that_cannot_be_kept_is_not_recorded_as_handed_out(team: Team) -> None:
    revision = team.put_up()
    before = team.store.verify(1)

    def full(_text: str) -> None:
        raise OSError("no space left")

    with pytest.raises(OSError, match="no space left"):
        exports.export(team.live, OWNS, revision, keep=full)
    assert team.store.verify(1) == before
    assert not team.store.events(1, kinds=("export",))
    team.say("SEP2", "group:pt-301")  # the lock is free again


def test_a_preview_can_be_printed_and_records_nothing_until_it_is_handed_out(team: Team) -> None:
    revision = team.put_up()
    before = team.count()
    record = exports.preview(team.live, OWNS, revision, "security annex for SR-9")
    assert team.count() == before
    assert basis.hash_of(record.revision) == revision.hash
    assert record.chain[-2].hash == team.store.head(1, before)
    team.say("SEP2", "group:pt-301")
    event = exports.handed_out_print(team.live, OWNS, record)
    assert (event.by, event.seq) == ("OW-1", before + 2)
    assert event.content["what"] == "security annex for SR-9"
    assert event.content["events"] == before, "what was printed was made from these events"
    assert verdict(team.export(revision))[0] == 0


def test_the_export_event_of_a_record_counts_the_events_before_it(story: Team, story_text: str) -> None:
    last = json.loads(story_text)["events"][-1]
    assert last["body"]["events"] == last["event"]["seq"] - 1 >= story.count()


def test_papers_and_record_handed_out_together_are_of_one_state_and_one_event(team: Team) -> None:
    revision = team.signed()
    before = team.count()
    printed: list[Record] = []

    def print_all(record: Record) -> dict[str, bytes]:
        printed.append(record)
        if len(printed) == 1:  # somebody answers while the papers are made
            team.say("SEP1", "group:lt-501")
        return {"report.pdf": record.made_from.hash.encode()}

    files = exports.together(team.live, OWNS, revision, "record and safety report", print_all)
    record = record_file.from_text("record", files["record-S30-0.json"].decode())
    assert files["report.pdf"].decode() == record.made_from.hash
    assert len(printed) == 2
    events = team.store.events(team.live.key, after=before)
    assert [event.kind for event in events] == ["answer", "export"]
    assert events[-1].content["what"] == "record and safety report"
    assert list(verification.verify(record))


def test_papers_and_record_that_never_match_are_not_handed_out(team: Team) -> None:
    revision = team.signed()

    def print_all(_record: Record) -> dict[str, bytes]:
        team.say("SEP1", "group:lt-501", "met" if team.count() % 2 else "partly")
        return {}

    with pytest.raises(exports.Moved, match="nothing was handed out, try again"):
        exports.together(team.live, OWNS, revision, "record and safety report", print_all)
    assert team.store.events(team.live.key, kinds=("export",)) == []


@pytest.mark.parametrize("roles", [{FACILITATOR}, {FACILITATOR, OWNER}, {MEMBER, ASSESSOR}], ids=sorted)
def test_who_answers_in_a_blind_round_gets_no_older_record_with_the_answers_it_hides(
    team: Team, roles: set[str]
) -> None:
    revision = team.signed()
    record = exports.preview(team.live, OWNS, revision, "safety report")
    team.hide_all()
    answers, before = Person("FA-1", frozenset(roles)), team.count()
    for hand_out in (
        lambda: exports.export(team.live, answers, revision),
        lambda: exports.preview(team.live, answers, revision, "safety report"),
        lambda: exports.handed_out_print(team.live, answers, record),
    ):
        with pytest.raises(
            Refused, match=r"a blind round hides .* answers from you, and a revision shows them"
        ) as refused:
            hand_out()
        assert "by the security reviewer or independent assessor or owner, who do not answer" in str(refused.value)
    assert team.count() == before
    assert verdict(team.export(revision))[0] == 0, "the owner may"
    for asked in team.now().records.to_answer_again:
        team.say(*asked)
    assert verdict(exports.export(team.live, answers, revision))[0] == 0


def test_a_record_of_a_system_of_which_nothing_is_hidden_is_exported_in_the_blind_round_of_another(team: Team) -> None:
    team.say("SEP1", "group:lt-501")
    team.signed()
    other = team.put_up("S50")
    hidden = [("SEP1", "group:pt-301")]
    body = body_of("round", system="S30", number=3, blank=True, answers=[{"question": q, "of": of} for q, of in hidden])
    recorder.record(team.live, LEADS, body, slot="round S30")
    assert verdict(exports.export(team.live, LEADS, other))[0] == 0
    with pytest.raises(Refused, match="a blind round hides 1 answer from you"):
        exports.export(team.live, LEADS, team.latest())
