"""Form of every file of checks/questions/banks, and the three banks against the published tables."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
import yaml

from checks.plantfile.consistency import BEFORE
from checks.plantfile.fields import Value
from checks.questions.bank import FIRST, FOLDER, LATEST, LEVELS, MEASURE_ANSWERS, OPINIONS, Question, banks
from scoring import levels
from scoring.common_cause import PARTS, rows
from scoring.methods.registry import ASKED_BETA
from scoring.source import table
from tests.rule import Rule

FILES = sorted(FOLDER.rglob("*.yaml"))
COMMON = {"id", "text", "why", "evidence", "asked_of", "topics", "source", "confidence"}
FIELDS = {
    "common_cause": COMMON,
    "cyber": COMMON | {"action", "weight", "elements", "fr", "sr"},
    "requirements": COMMON | {"title", "action"},
}
FIELDS |= dict.fromkeys(dict(OPINIONS), COMMON)
MAY = {"note", "choices", "offered", "official", "coverage", "undermines"}
TOPICS = {
    "common_cause": {f"T{n}" for n in range(1, 12)},
    "cyber": {f"FR{n}" for n in range(1, 8)} | {f"C{n}" for n in range(1, 7)} | {f"T{n}" for n in range(1, 12)},
}
TOPICS["requirements"] = TOPICS["cyber"]
TOPICS |= dict.fromkeys(dict(OPINIONS), TOPICS["common_cause"])
ELEMENTS = {"sensor", "logic", "final", "ews", "network", "people", "procedure"}


def _raw(path: Path) -> Any:
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def _questions() -> list[Question]:
    """All questions; a function, so that an unreadable file fails a test and not the collection."""
    return list(banks().questions.values())


RAW = [(path, head, question) for path in FILES for head in [_raw(path)] for question in head["questions"]]


def test_every_bank_is_found() -> None:
    folders = {path.parent.relative_to(FOLDER).as_posix() for path in FILES}
    assert folders == {f"{bank}/{edition}" for bank, edition in (*FIRST, *LATEST, *OPINIONS)}
    assert len(RAW) == 2 * 197 + 38


def test_a_bank_file_names_its_bank_and_edition_and_is_in_their_folder() -> None:
    with Rule() as rule:
        for path in FILES:
            with rule.case(path.relative_to(FOLDER)):
                head = _raw(path)
                assert set(head) - {"official_names"} == {"bank", "edition", "section", "questions"}
                assert (head["bank"], head["edition"]) == (path.parent.parent.name, path.parent.name)
                assert set(head["section"]) == {"id", "title"}
                assert head["questions"]


def test_a_question_has_the_fields_of_its_bank_and_no_others() -> None:
    with Rule() as rule:
        for path, head, raw in RAW:
            with rule.case(raw.get("id", path)):
                assert path.parent.parent.name == head["bank"]
                assert FIELDS[head["bank"]] <= set(raw) <= FIELDS[head["bank"]] | MAY
                empty = [name for name, value in raw.items() if value in (None, "", []) and name not in ("fr", "sr")]
                assert empty == []


def test_a_question_is_short_has_a_reason_and_says_what_to_look_for() -> None:
    with Rule() as rule:
        for question in _questions():
            with rule.case(question.id):
                assert 20 <= len(question.text) <= 230
                assert question.text.endswith("?")
                assert 20 <= len(question.why) <= 380
                assert 2 <= len(question.evidence) <= 4
                assert all(len(piece.strip()) > 3 for piece in question.evidence)
                assert len(set(question.evidence)) == len(question.evidence)
                assert "\n" not in question.text + question.why + question.action


def test_a_question_is_asked_of_someone_who_can_answer_it_and_has_known_topics() -> None:
    with Rule() as rule:
        for question in _questions():
            with rule.case(question.id):
                assert question.asked_of in BEFORE[question.bank]
                assert question.topics
                assert set(question.topics) <= TOPICS[question.bank]


def test_ids_are_unique_over_all_banks_and_there_are_37_60_and_100() -> None:
    latest = banks()
    for edition in (FIRST, LATEST):
        shown = (*edition, *OPINIONS)
        ids = [raw["id"] for _, head, raw in RAW if (head["bank"], head["edition"]) in shown]
        assert len(set(ids)) == len(ids) == len(latest.questions)
    assert [len(latest.common_cause), len(latest.cyber), len(latest.requirements)] == [37, 60, 100]
    assert [len(bank) for bank in latest.opinions.values()] == [8, 8, 14, 8]


def test_no_two_questions_say_the_same_and_none_contains_another() -> None:
    words = {question.id: " ".join(question.text.lower().split()) for question in _questions()}
    assert [(a, b) for a, b in permutations(words, 2) if words[a].rstrip("?") in words[b]] == []
    assert len({question.why for question in _questions()}) == len(_questions())


def test_every_row_of_the_points_table_has_a_question_and_the_other_way_round() -> None:
    assert {row["id"] for row in table("iec61508_6_2010_d1").rows} == set(banks().common_cause)
    scored = {name for part in PARTS for name in rows(part)}
    assert scored == set(banks().common_cause)
    assert all(any(question.points(part) for part in PARTS) for question in banks().common_cause.values())


def test_the_requirements_are_those_of_the_level_table_in_the_same_foundational_requirement() -> None:
    requirements = banks().requirements.values()
    assert {question.id: question.fr for question in requirements} == {
        name: (fr,) for name, fr in levels.foundation_of().items()
    }
    assert all(question.requirements == (question.id,) for question in requirements)
    assert all(question.levels == levels.required_at()[question.id] for question in requirements)


def test_a_topic_has_a_weight_and_names_known_elements_and_requirements() -> None:
    with Rule() as rule:
        for topic in banks().cyber.values():
            with rule.case(topic.id):
                assert topic.weight in (1, 2, 3)
                assert topic.elements
                assert topic.elements <= ELEMENTS
                assert set(topic.requirements) <= set(banks().requirements)
                assert set(topic.fr) == {levels.foundation_of()[name] for name in topic.requirements}
                assert len(set(topic.requirements)) == len(topic.requirements)


def test_what_can_be_a_gap_says_what_to_do_about_it() -> None:
    with Rule() as rule:
        for question in [*banks().cyber.values(), *banks().requirements.values()]:
            with rule.case(question.id):
                assert len(question.action) > 20


def test_a_requirement_knows_the_topics_that_cover_it() -> None:
    of = banks().topics_of_requirement
    assert set(of) == set(banks().requirements)
    assert {(topic, name) for name, topics in of.items() for topic in topics} == {
        (topic.id, name) for topic in banks().cyber.values() for name in topic.requirements
    }


@pytest.mark.parametrize(
    ("name", "asked_of"),
    [("ENV1", "plant"), ("A05", "zone"), ("CMP2", "plant"), ("SEP1", "group"), ("ASM1", "system"), ("SR 7.3", "zone")],
)
def test_a_question_is_asked_of_the_broadest_addressee_for_which_one_answer_makes_sense(
    name: str, asked_of: str
) -> None:
    assert banks().questions[name].asked_of == asked_of


def test_the_questions_of_a_further_method_are_the_rows_of_its_points_table_in_the_same_order() -> None:
    methods = ASKED_BETA.editions().values()
    assert [(method.bank, list(method.points())) for method in methods] == [
        (bank, list(questions)) for bank, questions in banks().opinions.items()
    ]


def test_the_choices_of_a_question_are_the_levels_that_its_table_prints_each_with_a_meaning_of_its_own() -> None:
    with Rule() as rule:
        for method in ASKED_BETA.editions().values():
            for name, printed in method.points().items():
                with rule.case(name):
                    question = banks().questions[name]
                    levels_printed = [grade for grade in printed if grade.startswith("level-")]
                    assert [level for level, _ in question.choices] == levels_printed
                    meanings = [meaning for _, meaning in question.choices]
                    assert all(8 <= len(meaning) <= 120 for meaning in meanings)
                    assert len(set(meanings)) == len(meanings)
                    assert set(printed) <= set(question.answers)


def test_every_value_of_an_answer_is_one_to_a_measure_or_a_level() -> None:
    assert Value.__args__ == (*MEASURE_ANSWERS, *LEVELS)  # type: ignore[attr-defined]


def test_no_question_of_the_three_banks_is_answered_by_a_level() -> None:
    latest = banks()
    assert all(
        question.answers == MEASURE_ANSWERS
        for bank in (latest.common_cause, latest.cyber, latest.requirements)
        for question in bank.values()
    )
