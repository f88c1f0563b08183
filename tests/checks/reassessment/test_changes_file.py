"""Topics and kinds of change: the form of every entry, and that every question of the banks can be reopened."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import yaml

from checks.plantfile.equipment import Device, Group
from checks.plantfile.plant import Conduit, Function, Plant, Zone
from checks.questions.bank import banks
from checks.reassessment.kinds_of_change import FOLDER, data, kinds, topics
from tests.rule import Rule

BLOCKS = {"devices": Device, "groups": Group, "functions": Function, "zones": Zone, "conduits": Conduit}
MUST = {"id", "name", "why", "common_cause", "cyber", "data"}
MAY = {"only_if", "caution", "topic_of_cause"}


def _raw(name: str) -> Any:
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


CHANGES, TOPICS = _raw("changes"), _raw("topics")
HALF = {
    name: {key for key, raw in TOPICS["topics"].items() if raw["half"] == name} for name in ("common_cause", "cyber")
}


def test_the_walk_finds_every_kind_and_every_topic() -> None:
    assert set(CHANGES) == {"edition", "source", "confidence", "kinds", "check"}
    assert set(TOPICS) == {"edition", "topics", "data"}
    assert len(CHANGES["kinds"]) == len(kinds()) == CHANGES["check"]["kinds"] == 26
    assert len(TOPICS["topics"]) == len(topics()) == 24


def test_the_topics_of_all_kinds_add_up_to_the_count_in_the_file() -> None:
    counted = Counter(name for kind in CHANGES["kinds"] for name in kind["common_cause"] + kind["cyber"])
    assert counted == CHANGES["check"]["topics"]


def test_a_kind_has_the_fields_of_a_kind_and_no_others() -> None:
    with Rule() as rule:
        for raw in CHANGES["kinds"]:
            with rule.case(raw.get("id", raw)):
                assert MUST <= set(raw) <= MUST | MAY
                assert re.fullmatch(r"[a-z]+(-[a-z]+){0,2}", raw["id"])
                assert 10 <= len(raw["name"]) <= 110
                assert 20 <= len(raw["why"]) <= 230
                assert all("\n" not in raw.get(name, "") for name in ("name", "why", "caution"))
                assert not raw["name"].endswith(".")
                assert raw["why"].endswith(".")
                assert raw.get("topic_of_cause", True) is True
                assert raw.get("caution", "Said.").endswith(".")


def test_a_kind_names_known_topics_of_each_half_and_known_data_once() -> None:
    with Rule() as rule:
        for raw in CHANGES["kinds"]:
            with rule.case(raw["id"]):
                for half in ("common_cause", "cyber"):
                    assert set(raw[half]) <= HALF[half]
                    assert len(set(raw[half])) == len(raw[half])
                assert set(raw["data"]) <= set(TOPICS["data"])
                assert len(set(raw["data"])) == len(raw["data"])
                assert raw["common_cause"] or raw["cyber"] or raw["data"] or raw.get("topic_of_cause")


def test_a_condition_is_in_words_and_is_about_topics_of_its_kind() -> None:
    with Rule() as rule:
        for raw in (raw for raw in CHANGES["kinds"] if "only_if" in raw):
            with rule.case(raw["id"]):
                assert set(raw["only_if"]) == {"condition", "topics"}
                assert len(raw["only_if"]["condition"].split()) > 3
                assert raw["only_if"]["topics"]
                assert set(raw["only_if"]["topics"]) <= set(raw["common_cause"] + raw["cyber"])


def test_a_topic_has_a_name_of_its_own_a_half_and_a_source() -> None:
    with Rule() as rule:
        for key, raw in TOPICS["topics"].items():
            with rule.case(key):
                assert set(raw) == {"name", "half", "source", "confidence"}
                assert raw["half"] == ("common_cause" if key.startswith("T") else "cyber")
                assert raw["confidence"] in ("memory", "house rule")
                assert all(raw.values())
                assert [other["name"] for other in TOPICS["topics"].values()].count(raw["name"]) == 1


def test_data_names_a_block_of_the_plant_file_and_fields_that_its_entries_have() -> None:
    with Rule() as rule:
        for key, raw in TOPICS["data"].items():
            with rule.case(key):
                assert set(raw) == {"name", "block", "fields"}
                assert raw["name"]
                assert raw["block"] in Plant.model_fields
                assert set(raw["fields"]) <= set(BLOCKS[raw["block"]].model_fields)
                assert any(key in kind["data"] for kind in CHANGES["kinds"])


def test_no_two_kinds_have_one_name_or_one_reason() -> None:
    all_kinds = list(kinds().values())
    assert len({kind.name for kind in all_kinds}) == len({kind.why for kind in all_kinds}) == len(all_kinds)


def test_what_is_read_is_what_the_file_says() -> None:
    with Rule() as rule:
        for raw in CHANGES["kinds"]:
            with rule.case(raw["id"]):
                kind = kinds()[raw["id"]]
                assert (kind.name, kind.why) == (raw["name"], raw["why"])
                assert (kind.common_cause, kind.cyber) == (tuple(raw["common_cause"]), tuple(raw["cyber"]))
                assert kind.data == tuple(raw["data"])
                assert kind.caution == raw.get("caution", "")
                assert kind.topic_of_cause == ("topic_of_cause" in raw)
                assert (kind.only_if is not None) == ("only_if" in raw)
                assert (kind.source, kind.confidence) == ("practice of the trade; house rule", "house rule")
    assert {key: part.fields for key, part in data().items()} == {
        key: tuple(raw["fields"]) for key, raw in TOPICS["data"].items()
    }


def test_every_topic_of_a_kind_is_a_topic_of_some_question() -> None:
    known = {topic for question in banks().questions.values() for topic in question.topics}
    with Rule() as rule:
        for key, kind in kinds().items():
            with rule.case(key):
                assert set(kind.common_cause + kind.cyber) <= known


def test_the_topics_are_those_of_the_banks() -> None:
    assert set(topics()) == {topic for question in banks().questions.values() for topic in question.topics}


def test_every_question_is_reopened_by_a_kind() -> None:
    with Rule() as rule:
        for question in banks().questions.values():
            with rule.case(question.id):
                assert any(set(question.topics) & set(kind.common_cause + kind.cyber) for kind in kinds().values())


def test_only_two_questions_on_secrets_depend_on_the_periodic_check() -> None:
    """Common practice, no source: no plant change is known that affects encryption or wiped memory."""
    by_event = {
        topic for key, kind in kinds().items() if key != "slow-change" for topic in kind.common_cause + kind.cyber
    }
    waiting = {name for name, question in banks().questions.items() if by_event.isdisjoint(question.topics)}
    assert waiting == {"SR 4.2 RE 1", "SR 4.3"}


def test_the_periodic_check_covers_every_topic_and_all_data() -> None:
    kind = kinds()["slow-change"]
    assert set(kind.common_cause + kind.cyber) == set(topics())
    assert set(kind.data) == set(data())
