"""Second editions of the question banks against the first: scoring is the same, the named questions are reworded.

The tests read the YAML files and do not depend on the code that reads the banks.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).parents[3]
BANKS = ROOT / "checks" / "questions" / "banks"
FIRST = {"common_cause": "iec61508-6-2010", "cyber": "edition-1", "requirements": "iec62443-3-3-2013"}
SECOND = dict.fromkeys(FIRST, "edition-2")
FIRST_DIGEST = {
    "common_cause": "d82207610893afe9e488b814d3d03ac3e85e1bddbc6a912ac77cb6834f2ebb36",
    "cyber": "9a5f0ed72e0b8342c39cbea7d885142ec951d10f6a6fc0731719ba61ac942395",
    "requirements": "8afb90677f53212d1631a0ce6f81317600446d4ab45d02f203950090d36488bb",
}

UNMAPPED = {"A05", "L08"}
"""Topics that no longer cover a requirement: locked cabinets, and a release that is a rule of the plant."""
OFFERED_TO_GROUP = {"ENV1", "S01", "S02", "S03", "S04", "F01", "F02", "F03"}
ASK_SUPPLIER = {"SR 3.8", "SR 3.8 RE 1", "SR 3.8 RE 2", "SR 3.8 RE 3", "SR 4.2 RE 1"}
REWORDED = {
    *("SEP4", "SEP5", "DIV3", "DIV5", "DIV6", "DIV7", "CPX3", "CPX5", "CPX6", "ASM1", "ASM3"),
    *("PRO1", "PRO5", "PRO6", "PRO7", "ENV1", "ENV2", "TST1"),
    *("L11", "D05", "P01", "P07", "S01", "S02", "S03", "S04", "F01", "F02", "F03"),
}
COVERAGE = {"PRO5": [0.6, 0.9], "PRO6": [0.9, 0.99], "PRO7": [0.99, 1.0]}
NEW_FIELDS = {
    "common_cause": {"offered", "coverage", "note"},
    "cyber": {"offered", "note", "undermines"},
    "requirements": {"official", "note"},
}
REPLACED_TERMS = (
    *("relay zone", "one-way device", "program-change lock", "second proof", "second log-in factor"),
    *("another way", "shared cause", "whoever", "anew", "laid down"),
)
WORDS_IN_SENTENCE = 35

Raw = dict[str, Any]


def _heads(editions: dict[str, str]) -> dict[str, Raw]:
    """Content of every bank file by ``bank/file``."""
    return {
        f"{bank}/{path.name}": yaml.safe_load(path.read_text(encoding="utf-8"))
        for bank, edition in editions.items()
        for path in sorted((BANKS / bank / edition).glob("*.yaml"))
    }


def _questions(heads: dict[str, Raw]) -> dict[str, Raw]:
    return {question["id"]: question for head in heads.values() for question in head["questions"]}


OLD_HEADS, NEW_HEADS = _heads(FIRST), _heads(SECOND)
OLD, NEW = _questions(OLD_HEADS), _questions(NEW_HEADS)
LEVELS: dict[str, list[float]] = {
    row["id"]: row["values"]
    for row in yaml.safe_load((ROOT / "scoring/tables/iec62443_3_3_2013_levels.yaml").read_text(encoding="utf-8"))[
        "rows"
    ]
}


def _differs(field: str) -> set[str]:
    """Ids of questions whose ``field`` is not the same in both editions."""
    return {name for name in OLD if OLD[name].get(field) != NEW[name].get(field)}


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.?!])\s+", text.strip())


def _words(text: str) -> str:
    return " ".join(text.split()).casefold()


def _all_words(question: Raw) -> str:
    """All words of a question that a person reads."""
    fields = (question.get(field, "") for field in ("title", "text", "why", "action", "note"))
    return _words(" ".join([*fields, *question["evidence"]]))


def _highest_without(requirement: str) -> int:
    """Highest security level that does not need ``requirement``, nor any level below it."""
    return LEVELS[requirement].index(1.0)


@pytest.mark.parametrize("bank", FIRST)
def test_a_first_edition_is_frozen_to_the_letter(bank: str) -> None:
    digest = hashlib.sha256()
    for path in sorted((BANKS / bank / FIRST[bank]).glob("*.yaml")):
        digest.update(f"{path.name}\n{path.read_text(encoding='utf-8')}".encode())
    assert digest.hexdigest() == FIRST_DIGEST[bank]


def test_both_editions_have_the_same_files_sections_and_ids_in_the_same_order() -> None:
    assert list(NEW_HEADS) == list(OLD_HEADS)
    assert len(NEW_HEADS) == 23
    for name, head in NEW_HEADS.items():
        assert (head["bank"], head["edition"]) == (name.split("/")[0], "edition-2")
        assert head["section"] == OLD_HEADS[name]["section"]
        ids, old_ids = ([question["id"] for question in of["questions"]] for of in (head, OLD_HEADS[name]))
        assert ids == old_ids
    assert [sum(name.startswith(bank) for name in NEW_HEADS) for bank in FIRST] == [8, 8, 7]
    assert len(NEW) == 37 + 60 + 100


@pytest.mark.parametrize("field", ["weight", "elements", "asked_of", "topics", "source", "confidence"])
def test_what_scores_and_where_it_is_asked_is_the_same(field: str) -> None:
    assert _differs(field) == set()


def test_only_the_two_named_topics_change_their_requirements() -> None:
    assert _differs("sr") == _differs("fr") == UNMAPPED
    assert all(NEW[name]["sr"] == NEW[name]["fr"] == [] for name in UNMAPPED)
    assert OLD["A05"]["sr"] == ["SR 2.1"]
    assert OLD["L08"]["sr"] == ["SR 2.1 RE 4"]


def test_a_second_edition_has_the_fields_of_the_first_and_the_named_new_ones() -> None:
    wrong = {}
    for name, head in NEW_HEADS.items():
        for question in head["questions"]:
            more, less = set(question) - set(OLD[question["id"]]), set(OLD[question["id"]]) - set(question)
            if less or not more <= NEW_FIELDS[name.split("/")[0]]:
                wrong[question["id"]] = (more, less)
    assert wrong == {}


def test_no_text_is_empty() -> None:
    may_be_empty = {"sr", "fr"}
    empty = [
        (name, field)
        for name, question in NEW.items()
        for field, value in question.items()
        if field not in may_be_empty and (value in (None, [], "") or (isinstance(value, str) and not value.strip()))
    ]
    assert empty == []
    assert [name for name, question in NEW.items() if not all(item.strip() for item in question["evidence"])] == []


def test_a_text_is_short_asks_and_has_no_long_sentence() -> None:
    long = [
        (name, len(sentence.split()))
        for name, question in NEW.items()
        for sentence in _sentences(question["text"])
        if len(sentence.split()) > WORDS_IN_SENTENCE
    ]
    assert long == []
    assert [name for name, question in NEW.items() if not question["text"].strip().endswith("?")] == []
    assert [name for name, question in NEW.items() if not 20 <= len(question["text"].strip()) <= 230] == []
    assert [name for name, question in NEW.items() if not 20 <= len(question["why"].strip()) <= 380] == []
    assert [name for name, question in NEW.items() if not 2 <= len(set(question["evidence"])) <= 4] == []


def test_no_text_says_the_same_as_another_of_its_edition() -> None:
    texts = [_words(question["text"]) for question in NEW.values()]
    assert len(set(texts)) == len(texts)
    whys = [_words(question["why"]) for question in NEW.values()]
    assert len(set(whys)) == len(whys)


def test_each_named_question_has_a_text_that_no_question_had_before() -> None:
    before = {_words(question["text"]) for question in OLD.values()}
    assert len(REWORDED) == 29
    assert [name for name in sorted(REWORDED) if _words(NEW[name]["text"]) in before] == []


def test_terms_that_were_replaced_are_gone() -> None:
    assert [
        (name, term) for name, question in NEW.items() for term in REPLACED_TERMS if term in _all_words(question)
    ] == []


def test_the_group_is_offered_first_where_evidence_is_per_tag_and_the_broader_addressee_stays() -> None:
    offered = {name: question["offered"] for name, question in NEW.items() if "offered" in question}
    assert offered == dict.fromkeys(OFFERED_TO_GROUP, "group")
    assert {name: NEW[name]["asked_of"] for name in OFFERED_TO_GROUP} == {
        name: "plant" if name == "ENV1" else "zone" for name in OFFERED_TO_GROUP
    }


def test_of_the_three_classes_of_coverage_each_names_itself_and_the_others_and_they_adjoin() -> None:
    assert {name: question["coverage"] for name, question in NEW.items() if "coverage" in question} == COVERAGE
    bounds = list(COVERAGE.values())
    assert [upper for _, upper in bounds[:-1]] == [lower for lower, _ in bounds[1:]]
    for (name, (lower, upper)), word in zip(COVERAGE.items(), ("Low", "Medium", "High"), strict=True):
        text = NEW[name]["text"]
        assert text.startswith(f"{word} coverage")
        assert all(other in text for other in COVERAGE)
        printed = {int(number) for number in re.findall(r"(\d+) %", text)}
        assert printed == {round(100 * bound) for bound in (lower, upper) if bound < 1}
        assert any(item.startswith("Cross-check: rates entered") for item in NEW[name]["evidence"])


def test_low_and_medium_diversity_name_each_other_and_say_what_tells_them_apart() -> None:
    assert NEW["DIV5"]["text"].startswith("Low diversity (answer this or DIV6)")
    assert NEW["DIV6"]["text"].startswith("Medium diversity (answer this or DIV5)")
    assert "same technology" in NEW["DIV5"]["text"]
    assert "different technology" in NEW["DIV6"]["text"]


def test_a_risk_assessment_and_a_zone_record_are_no_list_in_one_sentence() -> None:
    assert [name for name in ("P01", "P07") if NEW[name]["text"].count(",") > 1] == []
    assert [len(NEW[name]["evidence"]) for name in ("P01", "P07")] == [4, 4]


def test_the_second_half_of_the_old_double_question_is_evidence_of_the_first() -> None:
    assert "fast" in OLD["D05"]["text"]
    assert "fast" not in NEW["D05"]["text"]
    assert any("Response time" in item for item in NEW["D05"]["evidence"])


def test_what_only_a_supplier_knows_says_so_and_asks_for_a_written_answer() -> None:
    assert {name for name in NEW if any("Supplier's written answer" in item for item in NEW[name]["evidence"])} == (
        ASK_SUPPLIER
    )
    assert [name for name in ASK_SUPPLIER if "supplier" not in NEW[name]["why"]] == []


def test_every_requirement_has_an_official_name_and_a_title_of_our_own() -> None:
    requirements = {name: question for name, question in NEW.items() if name.startswith("SR ")}
    assert set(requirements) == set(LEVELS)
    assert [name for name, question in requirements.items() if not question["official"].strip()] == []
    same = [
        name for name, question in requirements.items() if _words(question["title"]) == _words(question["official"])
    ]
    assert same == []
    heads = [head["official_names"] for name, head in NEW_HEADS.items() if name.startswith("requirements")]
    assert heads == [{"document": "IEC 62443-3-3:2013", "confidence": "memory"}] * 7


def test_official_names_repeat_only_where_the_standard_repeats_them() -> None:
    by_name: dict[str, set[str]] = {}
    for name, question in NEW.items():
        if name.startswith("SR "):
            by_name.setdefault(question["official"], set()).add(name)
    assert {official: names for official, names in by_name.items() if len(names) > 1} == {
        "Unique identification and authentication": {"SR 1.1 RE 1", "SR 1.2 RE 1", "SR 1.6 RE 1"}
    }


@pytest.mark.parametrize(
    ("requirement", "level"), [("SR 2.1", "use control is 0"), ("SR 3.4", "system integrity is at most 1")]
)
def test_a_requirement_covered_by_many_topics_lists_them_and_the_level_that_one_answer_leaves(
    requirement: str, level: str
) -> None:
    topics = {name for name, question in NEW.items() if requirement in question.get("sr", ())}
    assert set(re.findall(r"\b[A-Z]\d\d\b", NEW[requirement]["note"])) == topics
    assert NEW[requirement]["note"].startswith({11: "Eleven", 9: "Nine"}[len(topics)])
    assert NEW[requirement]["note"].rstrip(".").endswith(level)
    assert level.endswith(str(_highest_without(requirement)))


def test_each_topic_of_these_two_requirements_says_which_level_its_answer_leaves() -> None:
    wrong = []
    for name, question in NEW.items():
        named = set(re.findall(r"SR \d\.\d\b(?! RE)", question.get("note", ""))) & {"SR 2.1", "SR 3.4"}
        if "weight" in question and named != {"SR 2.1", "SR 3.4"} & set(question["sr"]):
            wrong.append(name)
    assert wrong == []
    both = NEW["L01"]["note"]
    assert f"use control is {_highest_without('SR 2.1')}" in both
    assert f"system integrity at most {_highest_without('SR 3.4')}" in both


ROWS = {
    question["id"]
    for name, head in NEW_HEADS.items()
    if name.startswith("common_cause/")
    for question in head["questions"]
}


def test_what_a_topic_undermines_are_rows_of_the_points_table_each_once() -> None:
    wrong = {
        name: question["undermines"]
        for name, question in NEW.items()
        if (rows := question.get("undermines"))
        and (len(set(rows)) != len(rows) or any(row not in ROWS for row in rows))
    }
    assert wrong == {}
    assert sum("undermines" in question for question in NEW.values()) > 30
