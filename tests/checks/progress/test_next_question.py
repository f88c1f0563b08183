"""What a session asks next: never what was passed, nor what is not known since today; and what it says at the end."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path

import pytest

from checks.assessment import answer_effects
from checks.journal.store import Store
from checks.plantfile.plant import Asked
from checks.progress import next_question, open_questions
from checks.progress.next_question import Next
from checks.progress.open_questions import CAUSES, REQUIREMENTS, TOPICS, Place
from checks.state.live import Live, State
from tests.checks.given import bare_plant
from tests.checks.journal.stored import import_plant, say
from tests.checks.team import DAY, at

VALVES = Place(CAUSES, "esv-301")
SENSORS = Place(CAUSES, "pt-301")


@pytest.fixture
def live(tmp_path: Path) -> Live:
    store = Store(f"sqlite:///{tmp_path / 'answers.sqlite3'}")
    return Live(store, import_plant(store, bare_plant(), by="", writer="setup"))


def answer_all(live: Live, place: Place, *but: str, value: str = "not-met") -> State:
    """Answer every question of a place for its own group or zone, except some."""
    for name in open_questions.questions(live.state().assessment, place):
        if name not in but:
            say(live.store, live.key, name, place.addressee, value)
    return live.state()


def walked(state: State, place: Place, shown: str, system: str | None) -> list[Next]:
    """Steps to the most decisive question, each question left without an answer, until nothing is left to ask."""
    passed: set[Asked] = set()
    steps: list[Next] = []
    while not steps or steps[-1].place is not None:
        passed |= {(shown, place.addressee), (shown, next_question.default_addressee(state.assessment, place, shown))}
        steps.append(next_question.most_decisive(state, place, shown, system=system, passed=passed))
        place, shown = steps[-1].place or place, steps[-1].question or shown
    return steps


def test_the_first_is_the_one_with_the_largest_effect(live: Live) -> None:
    state = answer_all(live, VALVES, "TST1", "SEP1", "PRO3")
    effects = answer_effects.open_questions_of_group(state.assessment, "esv-301")
    step = next_question.most_decisive(state, VALVES, "SEP1", system="S30")
    assert step.question == effects[0].question == "TST1"
    assert step.place == VALVES


def test_no_question_is_asked_twice_and_every_group_of_the_system_is_asked(live: Live) -> None:
    state = live.state()
    *steps, end = walked(state, VALVES, "SEP1", "S30")
    asked = [(step.place, step.question) for step in steps]
    assert len(set(asked)) == len(asked)
    groups = ("esv-301", "pt-301", "ls-sis")
    assert list(dict.fromkeys(place.key for place, _ in asked if place)) == list(groups)
    assert end.text.startswith("What is open was passed or is not known: SEP1 of ls-sis, ")


def test_what_is_asked_of_a_whole_system_is_passed_for_all_its_groups(live: Live) -> None:
    asked = [step.question for step in walked(live.state(), VALVES, "SEP1", "S30")]
    assert asked.count("ASM1") == 1


def test_what_is_answered_not_known_is_asked_again_on_the_next_day_only(live: Live) -> None:
    answer_all(live, VALVES, "SEP1")
    say(live.store, live.key, "SEP1", VALVES.addressee, "unknown")
    later = Live(live.store, live.key, clock=at(DAY + timedelta(days=1)))
    today, tomorrow = (
        next_question.most_decisive(state, VALVES, "TST1", system="S30") for state in (live.state(), later.state())
    )
    assert today.place == SENSORS
    assert today.text.startswith("What is open in esv-301 was passed or is not known. pt-301: ")
    assert (tomorrow.place, tomorrow.question) == (VALVES, "SEP1")


def test_an_effect_under_one_per_cent_hardly_moves(live: Live) -> None:
    state = answer_all(live, VALVES, "PRO3", "SEP4")
    step = next_question.most_decisive(state, VALVES, "SEP1", system="S30")
    assert step.text == "SEP4 hardly moves SIF-301: under 1 %. Of the questions left it scores most: 4."


def test_a_finished_group_leads_to_the_next_one_even_if_the_question_shown_is_open(live: Live) -> None:
    state = answer_all(live, VALVES, "SEP1")
    step = next_question.most_decisive(state, VALVES, "SEP1", system="S30")
    assert step.place == SENSORS
    assert step.text.startswith(f"esv-301 has no other open question. pt-301: {step.question}")


def all_causes(live: Live, *but: str) -> State:
    for key in ("pt-301", "ls-sis"):
        answer_all(live, Place(CAUSES, key))
    return answer_all(live, VALVES, *but)


def test_the_question_shown_is_named_where_it_alone_is_open(live: Live) -> None:
    step = next_question.most_decisive(all_causes(live, "SEP1"), VALVES, "SEP1", system="S30")
    assert step.place is None
    assert step.text.startswith("SEP1, shown here, is the only open one. Still open elsewhere: 60 topics of field, ")


def test_with_every_common_cause_answer_given_what_is_open_in_zones_is_named(live: Live) -> None:
    step = next_question.most_decisive(all_causes(live), VALVES, "SEP1", system="S30")
    assert step.place is None
    assert step.text == (
        "Every common-cause question of S30 has an answer. Still open elsewhere: 60 topics of field, "
        "100 requirements of field, 60 topics of sis, 100 requirements of sis, 60 topics of bpcs and 1 more."
    )


def test_from_the_topics_of_a_zone_the_way_leads_to_its_requirements(live: Live) -> None:
    state = answer_all(live, Place(TOPICS, "sis"), value="met")
    step = next_question.most_decisive(state, Place(TOPICS, "sis"), "Z01", system="S30")
    assert step.place == Place(REQUIREMENTS, "sis")
    assert step.text.endswith("is open. It changes levels and gaps, no result.")
    assert step.question in open_questions.progress(state.assessment, step.place).missing


def test_a_zone_without_groups_has_open_topics_too(live: Live) -> None:
    zone = Place(TOPICS, "bpcs")
    first = next_question.most_decisive(live.state(), zone, "Z01")
    assert (first.place, first.question) == (zone, "Z02")
    assert first.text == "Z02 is open. It changes levels and gaps, no result."
    *steps, end = walked(answer_all(live, zone, "Z01", "Z02"), zone, "Z01", None)
    assert [step.question for step in steps if step.place == zone] == ["Z02"]
    assert end.text.startswith("What is open was passed or is not known: SR 1.1 RE 3 of bpcs, ")


def places(found: Iterable[tuple[Place, str] | None]) -> list[str]:
    return [f"{each[1]} of {each[0].key}" if each else "none" for each in found]


def test_the_next_open_question_of_a_system_goes_on_from_the_one_shown(live: Live) -> None:
    state = answer_all(live, VALVES, "SEP1", "CPX1", "TST1")
    found = [next_question.next_open(state, VALVES, shown, system="S30") for shown in ("SEP1", "CPX1", "TST1")]
    assert places(found) == ["CPX1 of esv-301", "TST1 of esv-301", "SEP1 of esv-301"]
    done = answer_all(live, VALVES)
    (field,) = places([next_question.next_open(done, VALVES, "TST1", system="S30")])
    assert field == "Z01 of field"


def test_a_requirement_that_a_topic_covers_is_not_open(live: Live) -> None:
    zone = Place(REQUIREMENTS, "sis")
    before = open_questions.progress(live.state().assessment, zone)
    say(live.store, live.key, "Z01", "zone:sis", "not-met")
    state = live.state()
    after = open_questions.progress(state.assessment, zone)
    covered = set(state.assessment.banks.cyber["Z01"].requirements)
    assert covered
    assert set(before.missing) - set(after.missing) == covered
    assert after.answered == len(covered) == state.assessment.zone("sis").asked


def test_places_of_a_system_are_its_groups_and_zones_and_the_others_have_none(live: Live) -> None:
    state = live.state()
    of_s40 = open_questions.of_system(state, "S40")
    assert [(place.bank, place.key) for place in of_s40] == [(CAUSES, "ls-sis"), *both("field"), *both("sis")]
    assert [(place.bank, place.key) for place in open_questions.without_system(state)] == both("bpcs")


def both(zone: str) -> list[tuple[str, str]]:
    return [(TOPICS, zone), (REQUIREMENTS, zone)]
