"""Hostile files and limited terminals: each file is rejected in plain lines, or computed."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.faults import Refused
from tests.checks.deadline import within
from tests.checks.given import HERE, ROOT, SMALLEST, VALID, changed, plain, told

PAIR = """format: 1
plant: {name: P}
devices:
  A: {lambda_du_fit: %s, lambda_dd_fit: %s}
  B: {lambda_du_fit: %s, lambda_dd_fit: %s}
groups:
  g: {part: final, voting: 1oo2, channels: [[A], [B]], proof_test: {interval_h: 8760}, mttr_h: 8, mrt_h: 8}
functions:
  F: {demand: high, target_pfh: 1.0e-6, groups: [g]}
"""


def _computed_or_refused(text: str) -> None:
    try:
        plant = plant_file.from_text("FILE", text)
    except Refused:
        return
    outcome(Assessment(plant))


@pytest.mark.parametrize("value", ["[a]", "{a: 1}"])
def test_a_list_or_mapping_as_voting_factor_is_refused(value: str) -> None:
    lines = told(changed(("voting_factor: iec61508-6-2010", f"voting_factor: {value}")))
    assert len(lines) == 1
    assert "conventions.voting_factor" in lines[0]


@pytest.mark.parametrize(
    "rates", [(0, 5, 0, 5), (0, 5, 5, 0), (0, 5, 5, 1), ("1e-300", 0, "1e-300", 0), ("1e-170", 0, "1e-170", 0)]
)
def test_channels_that_never_fail_undetected_or_almost_never_are_computed_or_refused(rates: tuple[object, ...]) -> None:
    _computed_or_refused(PAIR % rates)


@pytest.mark.parametrize("text", ["1e6", "1e-6", "1.5e5", "-.5", "12E3", "٤٥٠", "١.٥"])
def test_text_that_looks_like_a_number_reads_back_as_that_text(text: str) -> None:
    raw = plain()
    raw["plant"]["note"] = text
    plant = Plant.model_validate(raw)
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant


def test_the_unusual_file_reads_back_equal_after_writing() -> None:
    plant = plant_file.read(HERE / "unusual.yaml")
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant


@pytest.mark.parametrize("text", ["٤٥٠", "+4712345678", "-0", "+7"])
def test_unquoted_text_of_digits_is_kept_letter_for_letter(text: str) -> None:
    plant = plant_file.from_text("FILE", changed(("by: instrument engineer", f"by: {text}")))
    assert plant.answers[0].by == text


@pytest.mark.parametrize(
    "edit",
    [
        ("question: SEP1,", 'question: "SEP1\\nx",'),
        ("channels: [[PT], [PT], [PT]]", 'channels: [[PT], ["P\\nT"], [PT]]'),
        ("zone: field\n", 'zone: "fi\\neld"\n'),
        ("tags: [PT-301A", '"a\\nb": 1\n    tags: [PT-301A'),
        ("question: SEP1,", 'question: "\\e[2J\\e[31mall well",'),
    ],
)
def test_a_fault_is_one_printable_line_whatever_the_file_contains(edit: tuple[str, str]) -> None:
    lines = told(changed(edit))
    assert lines
    assert all(line.startswith("FILE: ") and line.isprintable() for line in lines)


def test_a_half_of_a_surrogate_pair_is_refused() -> None:
    (line,) = told(changed(("name: Control system", 'name: "\\ud800"')))
    assert "zones.bpcs.name" in line or "invalid Unicode character" in line


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
@pytest.mark.parametrize("name", ["valid.yaml", "unusual.yaml"])
def test_the_table_is_printed_on_a_terminal_that_lacks_some_letters(name: str, encoding: str) -> None:
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "checks", "score", str(HERE / name)],
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert b"Traceback" not in done.stderr
    assert done.returncode == 0


def test_the_same_group_twice_as_number_and_as_text_is_a_fault() -> None:
    text = VALID.read_text().replace("tt-401", "7").replace("groups: [7, ls-sis]", "groups: [7, '7', ls-sis]")
    assert len(told(text)) == 1


def test_both_ends_of_a_conduit_the_same_as_number_and_as_text_are_a_fault() -> None:
    assert len(told(SMALLEST + "zones: {7: {}}\nconduits: {c: {between: [7, '7']}}\n")) == 1


@pytest.mark.parametrize("value", ["true", "1.0"])
def test_format_is_the_whole_number_one(value: str) -> None:
    assert len(told(changed(("format: 1", f"format: {value}")))) == 1


@pytest.mark.parametrize(
    "edit",
    [
        ("{name: Quillmarch Works,", "{name: '',"),
        ("groups: [pt-301, ls-sis, esv-301]", "groups: []"),
        ("{name: Control system}", "{name: " + "x" * 201 + "}"),
    ],
)
def test_no_fault_uses_the_words_of_a_library(edit: tuple[str, str]) -> None:
    assert "after validation" not in told(changed(edit))[0]


SIZE = 250_000
"""Bytes; rejecting a hostile file must not take long."""
SECONDS = 20
"""Two are enough on an idle machine; a busy one takes longer. A hang fails."""
SLOW = {
    "group listed often": SMALLEST.replace("functions: {}", "functions: {f: {groups: [" + "x," * (SIZE // 2) + "]}}"),
    "function listed often": SMALLEST + "systems: {s: {functions: [" + "x," * (SIZE // 2) + "]}}",
    "zone listed often": SMALLEST + "conduits: {s: {between: [" + "x," * (SIZE // 2) + "]}}",
    "channels": SMALLEST.replace("groups: {}", "groups: {g: {channels: [" + "[x]," * (SIZE // 4) + "]}}"),
    "elements": SMALLEST.replace("groups: {}", "groups: {g: {channels: [" + "[{of: [x]}]," * (SIZE // 12) + "]}}"),
    "tags": SMALLEST.replace("groups: {}", "groups: {g: {tags: [" + "true," * (SIZE // 5) + "]}}"),
    "empty answers": SMALLEST + "answers:\n" + "- {}\n" * (SIZE // 5),
    "answers in no bank": SMALLEST + "answers:\n" + "- {question: Q, of: plant, value: met}\n" * (SIZE // 39),
    "unknown keys": SMALLEST + "".join(f"k{i}: 1\n" for i in range(SIZE // 11)),
    "devices": SMALLEST.replace(
        "devices: {}", "devices:\n" + "".join(f"  d{i}: {{x: 1}}\n" for i in range(SIZE // 16))
    ),
}


@pytest.mark.parametrize("name", SLOW)
def test_a_file_of_thousands_of_faults_is_refused_at_once_with_a_listing_that_can_be_read(name: str) -> None:
    with within(SECONDS), pytest.raises(Refused) as refused:
        plant_file.from_text("FILE", SLOW[name])
    lines = refused.value.lines()
    assert 1 < len(lines) <= 501
    assert "more faults of the same file" in lines[-1]
