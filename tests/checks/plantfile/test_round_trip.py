"""A plant that is written to a file reads back as the same plant."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from tests.checks.draws import MARKUP, plants
from tests.checks.given import plain, valid_plant


def test_the_valid_file_reads_back_equal_after_writing() -> None:
    plant = valid_plant()
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(plant=plants())
def test_any_plant_reads_back_equal_and_in_the_same_order(plant: Plant) -> None:
    text = plant_file.to_text(plant)
    again = plant_file.from_bytes("again", text.encode())
    assert again == plant
    assert list(again.groups) == list(plant.groups)
    assert plant_file.to_text(again) == text


@pytest.mark.parametrize("markup", MARKUP)
def test_markup_in_a_name_a_note_and_an_evidence_stays_what_it_is(markup: str) -> None:
    raw = plain()
    raw["plant"]["note"] = raw["zones"]["sis"]["name"] = raw["answers"][0]["evidence"] = markup
    again = plant_file.from_text("again", plant_file.to_text(Plant.model_validate(raw)))
    assert again.plant.note == again.zones["sis"].name == again.answers[0].evidence == markup


def test_what_is_written_states_format_and_conventions_even_where_they_are_the_usual_ones() -> None:
    text = plant_file.to_text(valid_plant())
    assert text.startswith("format: 1\nplant:\n")
    assert "exposure_rule: graded" in text
    assert "voting: 2oo3" in text


def test_what_is_written_has_neither_anchors_nor_tags() -> None:
    raw = plain()
    shared = raw["groups"]["pt-301"]["proof_test"]
    raw["groups"]["ls-sis"]["proof_test"] = shared
    text = plant_file.to_text(Plant.model_validate(raw))
    assert "&" not in text
    assert "!!" not in text


@given(
    text=st.text(max_size=40)
    | st.sampled_from(["no", "Null", "on", "1e3", "2025-03-04", "a: b", "- x", "'", "~", " a ", "a\nb"])
)
def test_a_general_reader_of_yaml_finds_every_text_of_an_answer_as_text(text: str) -> None:
    given_answer = Answer.model_construct(
        question="SEP1", of="group:g", value="met", evidence=text, by=text, on="2025-03-04"
    )
    plant = valid_plant().model_copy(update={"answers": [given_answer]})
    (read,) = yaml.safe_load(plant_file.to_text(plant))["answers"]
    expected = {"question": "SEP1", "of": "group:g", "value": "met", "evidence": text, "by": text, "on": "2025-03-04"}
    assert read == {name: value for name, value in expected.items() if value}
