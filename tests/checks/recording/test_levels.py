"""A question of a further method is answered by a level: stored, replayed, exported and verified like any answer."""

from __future__ import annotations

from typing import Any

import pytest

from checks.access.roles import FACILITATOR, MEMBER, Person
from checks.analysis import beta_opinions
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.record_files import exports
from checks.record_files.record_file import from_text
from checks.record_files.verification import verify
from checks.recording import answer_records, answering
from checks.state.live import Live
from checks.text.faults import Refused
from tests.checks.given import bare_plant, plain, told
from tests.checks.team import Team

MEMBER_1, LEADS = Person("IE-2", frozenset({MEMBER})), Person("F-1", frozenset({FACILITATOR}))
ASKED = ("HUM1", "group:pt-301")
FIELDS = {"question": "HUM1", "of": "group:pt-301", "value": "level-c", "evidence": "layout drawing 12", "note": ""}


def refused(fields: dict[str, Any]) -> list[str]:
    with pytest.raises(Refused) as error:
        answering.checked(bare_plant(), fields)
    return [str(fault) for fault in error.value.faults]


@pytest.mark.parametrize(
    ("question", "value"),
    [("HUM1", "met"), ("HUM1", "not-applicable"), ("HUM1", "level-a-plus"), ("SEP1", "level-a"), ("MA1", "level-e")],
)
def test_a_value_that_does_not_answer_the_question_is_refused(question: str, value: str) -> None:
    faults = refused({**FIELDS, "question": question, "value": value, "note": "a reason"})
    assert len(faults) == 1
    assert f"{value} does not answer {question}" in faults[0]


@pytest.mark.parametrize("value", ["level-a", "level-e", "unknown"])
def test_a_level_of_the_question_is_accepted(value: str) -> None:
    assert answering.checked(bare_plant(), {**FIELDS, "value": value}).value == value


def test_a_level_in_a_plant_file_is_read_and_written_again() -> None:
    raw = plain()
    raw["answers"] = [{"question": "UPM1", "of": "group:pt-301", "value": "level-b-plus", "evidence": "list 3"}]
    plant = Plant.model_validate(raw)
    again = plant_file.from_text("again", plant_file.to_text(plant))
    assert [given.value for given in again.answers] == ["level-b-plus"]
    wrong = plant_file.to_text(plant).replace("level-b-plus", "level-f")
    (line,) = told(wrong)
    assert "answers.0.value" in line
    assert "level-a to level-e" in line


def test_a_level_is_stored_dissented_from_and_the_worse_one_counts(team: Team) -> None:
    answering.record(team.live, MEMBER_1, FIELDS, seen=0)
    fields = {"value": "level-a", "who": "IE-3", "role": "engineer", "reason": "one rack", "settles": "a walkdown"}
    answer_records.record_dissent(team.live, LEADS, ASKED, fields)
    state = team.now()
    assert state.stored[ASKED].answer.value == "level-c"
    assert state.assessment.answers_for("pt-301")["HUM1"].value == "level-a"
    with pytest.raises(Refused, match="allowed: level-a, level-b"):
        answer_records.record_dissent(team.live, LEADS, ASKED, {**fields, "value": "met", "who": "IE-4"})
    with pytest.raises(Refused, match="allowed: level-a, level-b"):
        answer_records.answer_privately(team.live, MEMBER_1, ASKED, value="partly")


def test_a_record_with_a_level_is_exported_and_verified(team: Team) -> None:
    answering.record(team.live, MEMBER_1, FIELDS, seen=0)
    text = exports.export(team.live, LEADS, team.put_up())
    assert "level-c" in text
    assert "figures: fits; computed again from the facts, no difference" in list(verify(from_text("FILE", text)))
    again = Live(team.store, team.live.key).state()
    assert again.stored[ASKED].answer.value == "level-c"


def test_answers_of_a_further_method_are_in_the_revision_and_its_results_are_the_same(team: Team) -> None:
    before = team.put_up()
    for name, value in (("HUM1", "level-c"), ("HUM2", "level-b")):
        answering.record(team.live, MEMBER_1, {**FIELDS, "question": name, "value": value}, seen=0)
    after = team.put_up()
    assert after.hash != before.hash
    found = beta_opinions.of_group(team.now().assessment, "pt-301")
    assert found is not None
    assert found.asked[0].asked - len(found.asked[0].open) == 2
