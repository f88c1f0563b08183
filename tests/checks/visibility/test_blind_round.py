"""A blind round hides earlier answers everywhere from those who answer, and changes no result."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, VIEWER, Person
from checks.assessment import answer_effects
from checks.assessment.results import HIDDEN
from checks.reassessment import due_list
from checks.recording import answer_records, plant_import, recorder
from checks.signoff import open_points, revisions
from checks.state.live import State
from checks.visibility import blind_round, redaction
from tests.checks.team import ANSWERS, DISSENT, EVIDENCE, LEADS, Team, ahead, body_of

SEEN, GAP, PLANT_WIDE = ("SEP1", "group:pt-301"), ("Z01", "zone:sis"), ("PRO1", "plant")
SEES = ({ASSESSOR}, {REVIEWER}, {OWNER}, {ASSESSOR, OWNER})
SEES_NOT = ({FACILITATOR}, {MEMBER}, {FACILITATOR, MEMBER}, {MEMBER, ASSESSOR}, {FACILITATOR, OWNER})


def begun(team: Team) -> Team:
    """S30 is in a blind round that hides all it rests on, as earlier releases began it."""
    team.signed()
    team.hide_all()
    assert SEEN in team.now().records.to_answer_again
    return team


@pytest.fixture(scope="module")
def begun_file(made: Team, tmp_path_factory: pytest.TempPathFactory) -> Team:
    """S30 in its blind round, with a gap, evidence, a dissent and a private answer; S50 has its own answer."""
    team = made.copy(tmp_path_factory.mktemp("fresh") / "answers.sqlite3")
    team.say(*SEEN, "met", evidence="walk-down 12, the old one")
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(9)})
    event = answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-300"})
    answer_records.withdraw_evidence(team.live, ANSWERS, SEEN, number=event.seq, reason="another plant's")
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    answer_records.close_dissent(team.live, ANSWERS, SEEN, who="TM-2", shown_by="photo 7")
    answer_records.answer_privately(team.live, ANSWERS, SEEN, value="partly", note="one tray")
    answer_records.reveal(team.live, LEADS, [SEEN])
    team = begun(team)
    team.say(*GAP, "not-met", evidence="")
    team.say("SEP1", "group:lt-501", "partly")
    return team


@pytest.fixture
def fresh(begun_file: Team, tmp_path: Path) -> Team:
    """A copy that the test may change."""
    return begun_file.copy(tmp_path / "answers.sqlite3")


def seen(team: Team, roles: Iterable[str], name: str = "XX-1") -> State:
    return redaction.seen(team.now(), Person(name, frozenset(roles)))


@pytest.mark.parametrize("roles", SEES)
def test_a_person_who_does_not_answer_sees_everything(fresh: Team, roles: set[str]) -> None:
    state = fresh.now()
    assert seen(fresh, roles) is state
    assert redaction.sees_all(state, Person("XX-1", frozenset(roles)))


@pytest.mark.parametrize("roles", SEES_NOT)
def test_a_person_who_answers_in_one_role_sees_no_earlier_answer_in_any_other(fresh: Team, roles: set[str]) -> None:
    full, visible = fresh.now(), seen(fresh, roles)
    hidden = full.records.to_answer_again
    assert len(hidden) > 100
    assert not redaction.sees_all(full, Person("XX-1", frozenset(roles)))
    assert set(visible.stored) == set(full.stored) - set(hidden)
    assert {(answer.question, answer.of) for answer in visible.file().answers} == set(full.stored) - set(hidden)
    for by_question in (visible.stored, visible.replaced, visible.records.to_confirm, visible.records.confirmed):
        assert not set(by_question) & set(hidden)
    for records in (
        visible.records.evidence,
        visible.records.withdrawn,
        visible.records.dissents,
        visible.records.private,
    ):
        assert records.get(SEEN, ()) == ()
    assert full.records.evidence[SEEN]
    assert due_list.evidence_ending(full)
    assert due_list.evidence_ending(visible) == []
    answers = [answer for key in visible.plant.groups for answer in visible.assessment.group(key).answers.values()]
    answers += [answer for key in visible.plant.zones for answer in visible.assessment.zone(key).answers.values()]
    answers += [
        answer
        for function in visible.assessment.functions()
        for group in function.groups
        for answer in group.answers.values()
    ]
    assert answers
    assert not {(answer.question, answer.of) for answer in answers} & set(hidden)
    assert visible.records.to_answer_again == hidden


def test_hidden_answers_still_count_in_every_result(fresh: Team) -> None:
    full, visible = fresh.now(), seen(fresh, {MEMBER})
    for key in full.plant.groups:
        group, shown_group = full.assessment.group(key), visible.assessment.group(key)
        assert replace(group, answers={}, unanswered=0) == replace(shown_group, answers={}, unanswered=0)
    for key in full.plant.functions:
        assert visible.assessment.function(key).cases == full.assessment.function(key).cases
    for key in full.plant.zones:
        zone, shown_zone = full.assessment.zone(key), visible.assessment.zone(key)
        assert replace(zone, answers={}, gaps=()) == replace(shown_zone, answers={}, gaps=())
        assert len(zone.gaps) == len(shown_zone.gaps)
    assert [function.id for function in visible.assessment.functions()] == [
        function.id for function in full.assessment.functions()
    ]


def test_a_hidden_answer_counts_as_open_until_it_is_given_again(fresh: Team) -> None:
    full, visible = fresh.now(), seen(fresh, {MEMBER})
    before, shown = full.assessment.group("pt-301"), visible.assessment.group("pt-301")
    # Three are answered for the group itself; ENV1 by the topic of its zone that is the same question.
    assert (before.asked - before.unanswered, shown.unanswered) == (4, shown.asked)
    fresh.say(*SEEN, "met", evidence="walk-down 15")
    later = seen(fresh, {MEMBER})
    assert later.assessment.group("pt-301").unanswered == shown.asked - 1
    assert later.stored[SEEN].answer.evidence == "walk-down 15"
    assert SEEN not in later.records.to_answer_again


def test_gaps_that_follow_from_hidden_answers_keep_their_number_only(team: Team) -> None:
    team.say(*GAP, "not-met")
    gaps = team.now().assessment.zone("sis").gaps
    assert [gap.question for gap in gaps] == ["Z01"]
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
    assert [gap.question for gap in seen(team, {MEMBER}).assessment.zone("sis").gaps] == ["Z02", ""]
    assert [gap.question for gap in seen(team, {OWNER}).assessment.zone("sis").gaps] == ["Z01", "Z02"]


@pytest.mark.parametrize("value", ["met", "partly", "not-met", "unknown"])
def test_the_most_decisive_question_does_not_depend_on_hidden_answers(team: Team, value: str) -> None:
    def ranked() -> list[tuple[str, float]]:
        shown = blind_round.as_shown(seen(team, {MEMBER}))
        effects = [
            *answer_effects.open_questions_of_group(shown, "pt-301"),
            *answer_effects.open_topics_of_zone(shown, "sis"),
        ]
        return [(effect.question, effect.gain) for effect in effects]

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


def test_the_effect_of_an_answer_is_compared_with_the_full_results(fresh: Team) -> None:
    full, visible = fresh.now(), seen(fresh, {MEMBER})
    assert visible.before(*SEEN) is visible.assessment
    fresh.say(*SEEN, "not-met")
    later = seen(fresh, {MEMBER})
    assert later.before(*SEEN).group("pt-301").betas == full.assessment.group("pt-301").betas


def test_records_added_to_a_hidden_answer_since_are_seen(fresh: Team) -> None:
    event = answer_records.add_evidence(fresh.live, ANSWERS, SEEN, {**EVIDENCE, "identifier": "H-301 rev 9"})
    answer_records.answer_privately(fresh.live, ANSWERS, SEEN, value="met")
    visible = seen(fresh, {MEMBER}, ANSWERS.name)
    assert [piece.number for piece in visible.records.evidence[SEEN]] == [event.seq]
    assert [answer.value for answer in visible.records.private[SEEN]] == ["met"]


def test_a_member_of_one_system_sees_none_of_its_hidden_answers(fresh: Team) -> None:
    person = Person("TM-3", frozenset({MEMBER}), systems=frozenset({"S30"}))
    visible = redaction.seen(fresh.now(), person)
    assert visible.assessment.group("pt-301").answers == {}
    assert SEEN not in visible.stored
    assert PLANT_WIDE not in visible.stored
    assert visible.file().answers == [fresh.now().assessment.answers.get(*GAP)]


def test_a_viewer_sees_results_only(fresh: Team) -> None:
    visible = seen(fresh, {VIEWER})
    assert visible.stored == {}
    assert visible.assessment.function("SIF-301").cases == fresh.now().assessment.function("SIF-301").cases


def test_an_import_without_the_hidden_answers_removes_nothing(fresh: Team) -> None:
    before = fresh.now()
    plant_import.import_plant(fresh.store, ANSWERS, seen(fresh, {MEMBER}).file())
    after = fresh.now()
    assert after.stored == before.stored
    assert after.records.to_answer_again == before.records.to_answer_again


def test_an_answer_to_give_again_is_listed_once_among_the_open_points(fresh: Team) -> None:
    state = fresh.now()
    fixed = revisions.body(state, "S30")
    (reason,) = open_points.lacking(state, fixed, "safety")
    assert reason.startswith("3 answers still to be confirmed")
    reasons = open_points.lacking(state, fixed, "security")
    assert [reason for reason in reasons if "neither closed nor accepted as residual risk" in reason] == [
        "1 gap neither closed nor accepted as residual risk: Z01 of sis"
    ], "it was given again"


def test_without_a_blind_round_nothing_is_hidden_and_the_state_is_the_same(team: Team) -> None:
    state = team.now()
    for roles in (*SEES, {FACILITATOR}, {FACILITATOR, MEMBER}):
        assert seen(team, roles) is state
    assert blind_round.as_shown(state) is state.assessment
