"""A fresh start hides the earlier answers from whoever answers, everywhere, and leaves every number as it was."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, VIEWER, Person
from checks.assessment import answer_effects
from checks.assessment.results import HIDDEN
from checks.reassessment import due_list, reassessments
from checks.recording import plant_import, recorder, session
from checks.signoff import open_points, revisions
from checks.state.live import State
from checks.visibility import fresh_start, redaction
from tests.checks.team import ANSWERS, DISSENT, EVIDENCE, LEADS, Team, ahead, body_of

SEEN, GAP, PLANT_WIDE = ("SEP1", "group:pt-301"), ("Z01", "zone:sis"), ("PRO1", "plant")
SEES = ({ASSESSOR}, {REVIEWER}, {OWNER}, {ASSESSOR, OWNER})
SEES_NOT = ({FACILITATOR}, {MEMBER}, {FACILITATOR, MEMBER}, {MEMBER, ASSESSOR}, {FACILITATOR, OWNER})


def begun(team: Team) -> Team:
    """The third re-assessment of S30 has begun: a fresh start."""
    team.signed()
    for _ in range(3):
        for asked in team.now().records.to_confirm:
            reassessments.confirm(team.live, ANSWERS, [asked])
        reassessments.begin(team.live, LEADS, "S30")
    assert SEEN in team.now().records.anew
    return team


@pytest.fixture(scope="module")
def begun_file(made: Team, tmp_path_factory: pytest.TempPathFactory) -> Team:
    """S30 before its fresh start with a gap, evidence, a dissent and a private answer; S50 has an answer of its own."""
    team = made.copy(tmp_path_factory.mktemp("fresh") / "answers.sqlite3")
    team.say(*SEEN, "met", evidence="walk-down 12, the old one")
    session.show(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(9)})
    taken = session.show(team.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-300"})
    session.take_back(team.live, ANSWERS, SEEN, number=taken.seq, reason="another plant's")
    session.dissent(team.live, ANSWERS, SEEN, DISSENT)
    session.settle(team.live, ANSWERS, SEEN, who="TM-2", shown_by="photo 7")
    session.answer_privately(team.live, ANSWERS, SEEN, value="partly", note="one tray")
    session.reveal(team.live, LEADS, [SEEN])
    team = begun(team)
    team.say(*GAP, "not-met", evidence="")
    team.say("SEP1", "group:lt-501", "partly")
    return team


@pytest.fixture
def fresh(begun_file: Team, tmp_path: Path) -> Team:
    """The same, to be changed at will."""
    return begun_file.copy(tmp_path / "answers.sqlite3")


def seen(team: Team, roles: Iterable[str], name: str = "XX-1") -> State:
    return redaction.seen(team.now(), Person(name, frozenset(roles)))


@pytest.mark.parametrize("roles", SEES)
def test_who_does_not_answer_sees_what_there_is(fresh: Team, roles: set[str]) -> None:
    now = fresh.now()
    assert seen(fresh, roles) is now
    assert redaction.sees_all(now, Person("XX-1", frozenset(roles)))


@pytest.mark.parametrize("roles", SEES_NOT)
def test_who_answers_in_one_role_sees_no_earlier_answer_in_any_other(fresh: Team, roles: set[str]) -> None:
    full, now = fresh.now(), seen(fresh, roles)
    anew = full.records.anew
    assert len(anew) > 100
    assert not redaction.sees_all(full, Person("XX-1", frozenset(roles)))
    assert set(now.stored) == set(full.stored) - set(anew)
    assert {(one.question, one.of) for one in now.file().answers} == set(full.stored) - set(anew)
    for held in (now.stored, now.replaced, now.records.to_confirm, now.records.confirmed):
        assert not set(held) & set(anew)
    for beside in (now.records.evidence, now.records.withdrawn, now.records.dissents, now.records.private):
        assert beside.get(SEEN, ()) == ()
    assert full.records.evidence[SEEN]
    assert due_list.evidence_ending(full)
    assert due_list.evidence_ending(now) == []
    told = [one for key in now.plant.groups for one in now.assessment.group(key).held.values()]
    told += [one for key in now.plant.zones for one in now.assessment.zone(key).held.values()]
    told += [one for held in now.assessment.functions() for group in held.groups for one in group.held.values()]
    assert told
    assert not {(one.question, one.of) for one in told} & set(anew)
    assert now.records.anew == anew


def test_every_number_goes_on_counting_what_is_hidden(fresh: Team) -> None:
    full, now = fresh.now(), seen(fresh, {MEMBER})
    for key in full.plant.groups:
        one, other = full.assessment.group(key), now.assessment.group(key)
        assert replace(one, held={}, unanswered=0) == replace(other, held={}, unanswered=0)
    for key in full.plant.functions:
        assert now.assessment.function(key).cases == full.assessment.function(key).cases
    for key in full.plant.zones:
        zone, told = full.assessment.zone(key), now.assessment.zone(key)
        assert replace(zone, held={}, gaps=()) == replace(told, held={}, gaps=())
        assert len(zone.gaps) == len(told.gaps)
    assert [one.id for one in now.assessment.functions()] == [one.id for one in full.assessment.functions()]


def test_what_is_hidden_counts_as_open_until_it_is_given_anew(fresh: Team) -> None:
    full, now = fresh.now(), seen(fresh, {MEMBER})
    before, shown = full.assessment.group("pt-301"), now.assessment.group("pt-301")
    # Three were answered as they are asked of it; ENV1 by the topic of its zone that is the same question.
    assert (before.asked - before.unanswered, shown.unanswered) == (4, shown.asked)
    fresh.say(*SEEN, "met", evidence="walk-down 15")
    later = seen(fresh, {MEMBER})
    assert later.assessment.group("pt-301").unanswered == shown.asked - 1
    assert later.stored[SEEN].answer.evidence == "walk-down 15"
    assert SEEN not in later.records.anew


def test_of_the_gaps_that_rest_on_hidden_answers_the_number_is_left(team: Team) -> None:
    team.say(*GAP, "not-met")
    signable = team.now().assessment.zone("sis").gaps
    assert [one.question for one in signable] == ["Z01"]
    body = {
        "system": "S30",
        "number": 3,
        "blank": True,
        "answers": [{"question": q, "of": of} for q, of in team.now().stored],
    }
    recorder.record(team.live, LEADS, body_of("round", **body), slot="round S30")
    assert seen(team, {MEMBER}).assessment.zone("sis").gaps == (HIDDEN,)
    assert answer_effects.gap_effects(seen(team, {MEMBER}).assessment, "sis") == []
    team.say("Z02", "zone:sis", "partly")
    assert [one.question for one in seen(team, {MEMBER}).assessment.zone("sis").gaps] == ["Z02", ""]
    assert [one.question for one in seen(team, {OWNER}).assessment.zone("sis").gaps] == ["Z01", "Z02"]


@pytest.mark.parametrize("value", ["met", "partly", "not-met", "unknown"])
def test_what_is_most_decisive_is_the_same_whatever_the_hidden_answer_was(team: Team, value: str) -> None:
    def ranked() -> list[tuple[str, float]]:
        shown = fresh_start.as_shown(seen(team, {MEMBER}))
        open_ = [
            *answer_effects.open_questions_of_group(shown, "pt-301"),
            *answer_effects.open_topics_of_zone(shown, "sis"),
        ]
        return [(one.question, one.gain) for one in open_]

    answers = [{"question": question, "of": of} for question, of in team.now().stored]
    body = {"system": "S30", "number": 3, "blank": True, "answers": answers}
    recorder.record(team.live, LEADS, body_of("round", **body), slot="round S30")
    first = ranked()
    assert {"SEP1", "Z01", "PRO1"} <= {name for name, _ in first}
    team.say(*SEEN, value)
    team.say(*GAP, value)
    seen_round = team.now().records.rounds["S30"][-1].seq
    recorder.record(team.live, LEADS, body_of("round", **body), slot="round S30", follows=seen_round)
    assert ranked() == first


def test_an_answers_effect_is_told_beside_what_counts(fresh: Team) -> None:
    full, now = fresh.now(), seen(fresh, {MEMBER})
    assert now.before(*SEEN) is now.assessment
    fresh.say(*SEEN, "not-met")
    later = seen(fresh, {MEMBER})
    assert later.before(*SEEN).group("pt-301").betas == full.assessment.group("pt-301").betas


def test_what_is_recorded_beside_a_hidden_answer_since_is_seen(fresh: Team) -> None:
    shown = session.show(fresh.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-301 rev 9"})
    session.answer_privately(fresh.live, ANSWERS, SEEN, value="met")
    now = seen(fresh, {MEMBER}, ANSWERS.name)
    assert [one.number for one in now.records.evidence[SEEN]] == [shown.seq]
    assert [one.value for one in now.records.private[SEEN]] == ["met"]


def test_a_member_of_one_system_sees_none_of_the_hidden_answers_of_it(fresh: Team) -> None:
    person = Person("TM-3", frozenset({MEMBER}), systems=frozenset({"S30"}))
    now = redaction.seen(fresh.now(), person)
    assert now.assessment.group("pt-301").held == {}
    assert SEEN not in now.stored
    assert PLANT_WIDE not in now.stored
    assert now.file().answers == [fresh.now().assessment.answers.get(*GAP)]


def test_a_viewer_sees_what_a_viewer_sees(fresh: Team) -> None:
    now = seen(fresh, {VIEWER})
    assert now.stored == {}
    assert now.assessment.function("SIF-301").cases == fresh.now().assessment.function("SIF-301").cases


def test_a_file_without_the_hidden_answers_takes_nothing_away_when_it_comes_back(fresh: Team) -> None:
    before = fresh.now()
    plant_import.import_plant(fresh.store, ANSWERS, seen(fresh, {MEMBER}).file())
    after = fresh.now()
    assert after.stored == before.stored
    assert after.records.anew == before.records.anew


def test_what_is_to_be_given_anew_is_named_as_that_alone_in_the_way_of_a_signature(fresh: Team) -> None:
    now = fresh.now()
    fixed = revisions.body(now, "S30")
    (said,) = open_points.lacking(now, fixed, "safety")
    assert said.startswith("3 answers still to be confirmed")
    found = open_points.lacking(now, fixed, "security")
    assert [one for one in found if "neither closed nor accepted as residual risk" in one] == [
        "1 gap neither closed nor accepted as residual risk: Z01 of sis"
    ], "it was given anew"


def test_without_a_fresh_start_nothing_is_hidden_and_the_state_is_the_same(team: Team) -> None:
    now = team.now()
    for roles in (*SEES, {FACILITATOR}, {FACILITATOR, MEMBER}):
        assert seen(team, roles) is now
    assert fresh_start.as_shown(now) is now.assessment
