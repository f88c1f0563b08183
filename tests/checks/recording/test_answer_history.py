"""History of an answer, and taking back one's own last one: what stood before stands again, in every reading."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.access.roles import MEMBER, NotAllowed, Person
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.record_files import record_file, verification
from checks.recording import answer_history, answer_records, answering
from checks.recording.answering import AnsweredMeanwhile
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.visibility import redaction
from tests.checks.journal.stored import import_plant
from tests.checks.team import ANSWERS, EVIDENCE, LOOKS_ON, Team, three_systems

OLD, NEW = ("SEP1", "group:pt-301"), ("SEP4", "group:pt-301")
"""A question with an answer, and one without."""


def take_back(team: Team, asked: Asked, person: Person = ANSWERS) -> Event:
    stored = team.now().stored.get(asked)
    return answer_history.take_back(team.live, person, asked, seen=stored.id if stored else 0)


def read_anew(team: Team) -> State:
    """The state replayed from the first event, as another process reads it."""
    return Live(team.store, team.live.key, clock=team.live.clock).state()


def value(team: Team, asked: Asked) -> str | None:
    """The value that counts: the same in the followed state and in one replayed from the start."""
    followed, replayed = team.now(), read_anew(team)
    assert followed.stored == replayed.stored
    answers = [state.assessment.answers.get(*asked) for state in (followed, replayed)]
    assert answers[0] == answers[1]
    return answers[0].value if answers[0] else None


def test_the_answer_before_stands_again_with_its_author_and_time(team: Team) -> None:
    before = team.now().stored[OLD]
    team.say(*OLD, "not-met", by="TM-2", note="one tray")
    take_back(team, OLD, replace(ANSWERS, name="TM-2"))
    after = team.now().stored[OLD]
    assert value(team, OLD) == before.answer.value == "met"
    assert (after.answer, after.at, after.given) == (before.answer, before.at, before.id)


def test_the_first_answer_leaves_none_and_another_can_be_given(team: Team) -> None:
    results = team.now().assessment.group("pt-301")
    team.say(*NEW, "met")
    assert team.now().assessment.group("pt-301") != results
    take_back(team, NEW)
    assert value(team, NEW) is None
    assert NEW not in team.now().stored
    assert team.now().assessment.group("pt-301") == results
    team.say(*NEW, "partly")
    assert value(team, NEW) == "partly"


def test_answers_are_taken_back_one_after_the_other(team: Team) -> None:
    for answered in ("met", "partly", "not-met"):
        team.say(*NEW, answered)
    for expected in ("partly", "met", None):
        take_back(team, NEW)
        assert value(team, NEW) == expected
    with pytest.raises(AnsweredMeanwhile):
        take_back(team, NEW)


def test_only_its_author_takes_an_answer_back(team: Team) -> None:
    team.say(*NEW, "met")
    with pytest.raises(Refused, match="given by TM-1"):
        take_back(team, NEW, Person("TM-2", frozenset({MEMBER})))
    with pytest.raises(NotAllowed):
        take_back(team, NEW, LOOKS_ON)
    namesake = Person("TM-1", frozenset({MEMBER}), identity="https://sign-in/tm-1")
    with pytest.raises(Refused, match="given by TM-1"):
        take_back(team, NEW, namesake)
    assert value(team, NEW) == "met"


def test_an_answer_that_somebody_else_replaced_is_not_taken_back_unseen(team: Team) -> None:
    team.say(*NEW, "met")
    seen = team.now().stored[NEW].id
    team.say(*NEW, "not-met", by="TM-2")
    with pytest.raises(AnsweredMeanwhile, match="TM-2 answered this first: not-met"):
        answer_history.take_back(team.live, ANSWERS, NEW, seen=seen)


def test_an_answer_to_one_that_was_taken_back_meanwhile_is_refused(team: Team) -> None:
    team.say(*NEW, "met")
    seen = team.now().stored[NEW].id
    take_back(team, NEW)
    fields = {"question": NEW[0], "of": NEW[1], "value": "partly"}
    with pytest.raises(AnsweredMeanwhile, match="TM-1 took the answer back meanwhile"):
        from_screen(team, fields, seen)


def from_screen(team: Team, fields: dict[str, str], seen: int) -> None:
    answering.record(team.live, Person("TM-2", frozenset({MEMBER}), writer="w2"), fields, seen=seen)


def test_ended_evidence_stays_ended_under_an_answer_that_stands_again(team: Team) -> None:
    piece = answer_records.add_evidence(team.live, ANSWERS, OLD, EVIDENCE)
    answer_records.withdraw_evidence(team.live, ANSWERS, OLD, number=piece.seq, reason="the hook-up was changed")
    assert team.now().ended(OLD)
    team.say(*OLD, "not-met")
    take_back(team, OLD)
    assert team.now().ended(OLD)
    assert value(team, OLD) == "met"


def test_an_answer_hidden_by_a_blind_round_is_hidden_again_with_its_history(team: Team) -> None:
    team.signed()
    team.blind_round()
    seen = redaction.seen(team.now(), ANSWERS)
    assert answer_history.history(team.live, seen, OLD) == []
    team.say(*OLD, "partly")
    assert OLD not in team.now().records.to_answer_again
    take_back(team, OLD)
    assert OLD in team.now().records.to_answer_again
    again = redaction.seen(team.now(), ANSWERS)
    assert OLD not in again.stored
    assert answer_history.history(team.live, again, OLD) == []


def test_the_history_names_who_when_and_what_stood(team: Team) -> None:
    team.say(*NEW, "met", by="TM-2", evidence="drawing 4")
    team.say(*NEW, "partly")
    take_back(team, NEW)
    versions = answer_history.history(team.live, team.now(), NEW)
    shown = [(version.by, version.answer and version.answer.value, version.taken_back) for version in versions]
    assert shown == [("TM-1", "met", True), ("TM-1", "partly", False), ("TM-2", "met", False)]


def test_a_team_of_other_systems_sees_no_history(team: Team) -> None:
    elsewhere = replace(ANSWERS, systems=frozenset({"S50"}))
    assert answer_history.history(team.live, redaction.seen(team.now(), elsewhere), OLD) == []


def test_a_signed_revision_is_invalid_afterwards_and_its_record_verifies(team: Team) -> None:
    team.say(*NEW, "met")
    team.signed()
    take_back(team, NEW)
    status, why = team.state()
    assert status == "void"
    assert "SEP4 of group:pt-301 was taken back" in why
    assert list(verification.verify(record_file.from_text("record", team.export())))


def test_an_import_follows_an_answer_that_was_taken_back(team: Team) -> None:
    team.say(*NEW, "met")
    given = team.now().stored[NEW].answer
    take_back(team, NEW)
    import_plant(team.store, three_systems().model_copy(update={"answers": [given]}), by="FA-1", writer="w")
    assert value(team, NEW) == "met"
