"""Question sheets ask every question once, of whom a session asks it, and show no answer that a blind round hides."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path

from checks.access.roles import MEMBER, Person
from checks.journal.append import Entry
from checks.session_papers.evidence_to_bring import evidence_to_bring
from checks.session_papers.question_sheets import Selection, Sheet, sheets
from checks.state.live import State
from checks.visibility import redaction
from tests.checks.team import LEADS, Team, founded, three_systems


def asked(found: tuple[Sheet, ...]) -> list[tuple[str, str]]:
    """Each question and addressee of the sheets."""
    return [(item.question.id, each.of) for sheet in found for item in sheet.questions for each in item.asked]


def earlier(state: State, subject: str) -> dict[tuple[str, str], str]:
    """Values of last time's answers on the sheets of a subject."""
    return {
        (item.question.id, each.of): each.earlier.value
        for sheet in sheets(state, Selection(subject))
        for item in sheet.questions
        for each in item.asked
        if each.earlier is not None
    }


def test_a_group_is_asked_all_its_common_cause_questions_on_one_sheet(team: Team) -> None:
    state = team.now()
    (sheet,) = sheets(state, Selection("group:pt-301"))
    assert [item.question.id for item in sheet.questions] == list(state.assessment.questioned("pt-301"))
    of = dict(asked((sheet,)))
    assert (of["SEP1"], of["ASM1"], of["PRO1"]) == ("group:pt-301", "system:S30", "plant")


def test_a_zone_is_asked_its_topics_and_requirements_and_each_group_about_its_own_tags(tmp_path: Path) -> None:
    plant = three_systems().model_copy(update={"format": 2})
    state = founded(tmp_path / "answers.sqlite3", plant).now()
    topics, requirements = sheets(state, Selection("zone:field"))
    assert (len(topics.questions), len(requirements.questions)) == (60, 100)
    groups = {of for name, of in asked((topics,)) if name == "S01"}
    programmable = {key for key in state.assessment.links.groups_in["field"] if state.plant.groups[key].programmable}
    sensors = {f"group:{key}" for key in programmable if state.plant.groups[key].part == "sensor"}
    assert groups == sensors != set()
    assert sheets(state, Selection("zone:field", requirements=False)) == (topics,)


def test_a_system_is_asked_everything_of_its_groups_and_zones_once(team: Team) -> None:
    state = team.now()
    found = sheets(state, Selection("system:S30"))
    whole = asked(found)
    assert len(whole) == len(set(whole))
    kinds = [sheet.of.partition(":")[0] for sheet in found]
    assert kinds == sorted(kinds, key=("plant", "system", "group", "zone").index)
    for subject in ("group:pt-301", "group:ls-sis", "zone:field", "zone:sis"):
        assert set(asked(sheets(state, Selection(subject)))) <= set(whole)


def test_only_open_questions_leaves_out_what_is_answered(team: Team) -> None:
    before = asked(sheets(team.now(), Selection("group:pt-301", only_open=True)))
    assert ("SEP1", "group:pt-301") not in before
    team.say("SEP1", "group:pt-301", "unknown", evidence="")
    after = asked(sheets(team.now(), Selection("group:pt-301", only_open=True)))
    assert set(after) - set(before) == {("SEP1", "group:pt-301")}


def test_an_answer_that_a_blind_round_hides_is_on_no_sheet_for_any_reader(team: Team) -> None:
    answer = ("SEP1", "group:pt-301")
    assert earlier(team.now(), "group:pt-301")[answer] == "met"
    body = {
        "system": "S30",
        "number": 3,
        "blank": True,
        "answers": [dict(zip(("question", "of"), answer, strict=True))],
    }
    team.store.record(1, Entry("round", body, LEADS.name, slot="round S30"))
    for state in (team.now(), redaction.seen(team.now(), Person("TM-9", frozenset({MEMBER})))):
        assert answer not in earlier(state, "group:pt-301")
        assert answer in asked(sheets(state, Selection("group:pt-301", only_open=True)))
    team.say(*answer, "partly")
    assert earlier(team.now(), "group:pt-301")[answer] == "partly"


def test_a_team_of_one_system_is_not_asked_for_the_whole_plant(team: Team) -> None:
    person = Person("TM-9", frozenset({MEMBER}), systems=frozenset({"S30"}))
    state = redaction.seen(team.now(), person)
    found = asked(sheets(state, Selection("system:S30")))
    assert not [of for _, of in found if of == "plant"]
    assert ("PRO1", "group:pt-301") in found


def test_each_piece_of_evidence_is_listed_once_with_every_question_that_looks_for_it(team: Team) -> None:
    found = sheets(team.now(), Selection("system:S30"))
    pieces = evidence_to_bring(found)
    assert len({(piece.topic, piece.what) for piece in pieces}) == len(pieces)
    listed = {(what.what, name) for what in pieces for name in what.questions}
    looked_for = {
        (what, item.question.id) for sheet in found for item in sheet.questions for what in item.question.evidence
    }
    assert listed == looked_for
    topics = [piece.topic for piece in pieces]
    assert len(list(groupby(topics))) == len(set(topics))
