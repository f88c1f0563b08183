"""Stored results of a revision: written, read back, and compared with what is computed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from checks.revision import basis, fingerprint, stored_results
from demo.load import PLANT
from tests.checks.given import FORMAT_2

DEMO = Assessment(plant_file.read(PLANT))
EVERYTHING = Assessment(plant_file.read(FORMAT_2))
SYSTEMS = tuple(DEMO.plant.systems)


def body(system: str, assessment: Assessment = DEMO) -> dict[str, Any]:
    """The body of a revision, through JSON and back."""
    written = {
        "facts": basis.facts(assessment, system),
        "results": basis.results(assessment, system),
        "system": system,
    }
    read: dict[str, Any] = json.loads(json.dumps(written))
    return read


@pytest.mark.parametrize(("system", "assessment"), [*((key, DEMO) for key in SYSTEMS), ("S1", EVERYTHING)])
def test_what_is_read_back_is_what_was_written(system: str, assessment: Assessment) -> None:
    stored = body(system, assessment)
    past = basis.revision_assessment(stored)
    assert past.reproduced
    assert json.loads(json.dumps(basis.results(past, system))) == stored["results"]
    for name in assessment.plant.systems[system].functions:
        assert past.function(name) == assessment.function(name)


def test_stored_entries_of_a_function_are_shown_although_this_program_computes_others() -> None:
    stored = body("S1", EVERYTHING)
    entries = stored["results"]["functions"]["SIF-2"]["entries"]
    assert entries[0]["any"] == ["ft", "pt"]
    entries[0]["cases"]["scored"] = 0.25
    past = basis.revision_assessment(stored)
    assert not past.reproduced
    assert past.function("SIF-2").entry_of("ft").measured.cases.scored == 0.25
    assert past.function("SIF-1").entry_of("pt").arrangement == "1oo3"
    assert past.group("ls").measured("pfd").terms.stated == 1.2e-4


def test_a_past_revision_shows_its_stored_figures_and_not_those_of_today() -> None:
    stored = body("S30")
    stored["results"]["functions"]["SIF-301"]["pfd"]["scored"] = 0.25
    past = basis.revision_assessment(stored)
    assert not past.reproduced
    assert past.function("SIF-301").cases.scored == 0.25
    assert len(basis.differences(stored)) == 1


def test_names_of_groups_of_other_systems_are_not_stored() -> None:
    for system in SYSTEMS:
        stored = body(system)["results"]
        for zone in stored["zones"].values():
            assert set(zone["groups"]) <= set(stored["groups"])


def test_what_is_computed_beyond_the_stored_fields_does_not_matter_and_what_is_missing_does() -> None:
    assert list(stored_results.apart({"a": 1.0}, {"a": 1.0, "later": 2.0})) == []
    assert list(stored_results.apart({"a": 1.0, "b": 2}, {"a": 1.0})) == ["results.b is stored, but not computed"]


@pytest.mark.parametrize(
    ("stored", "computed", "message"),
    [
        (0.5, 0.5 * (1 + 1e-12), None),
        (0.5, 0.55, "results is 0.5, computed 0.55 (+10.00%)"),
        (0.0, 0.1, "results is 0.0, computed 0.1"),
        (None, 0.1, "results is None, computed 0.1"),
        ([1, 2], [1, 3], "results[1] is 2, computed 3 (+50.00%)"),
        ([1, 2], [1], "results is [1, 2], computed [1]"),
        (True, 1, "results is True, computed 1"),
        ("met", "partly", "results is 'met', computed 'partly'"),
    ],
)
def test_each_difference_is_named_with_by_how_much(stored: Any, computed: Any, message: str | None) -> None:
    messages = list(stored_results.apart(stored, computed))
    assert messages == ([] if message is None or (stored is True and messages == []) else [message])


def test_the_fingerprint_of_the_first_releases_is_pinned_for_each_of_their_conventions() -> None:
    """Release 2 printed the same figures for the probe as edition 1 does here (compared with its own program)."""
    assert len(set(fingerprint.RELEASE_2.values())) == 6
    facts = json.loads(json.dumps(basis.facts(DEMO, "S30")))
    assert basis.fingerprint_matches(facts)
    assert not basis.fingerprint_matches({**facts, "fingerprint": "0" * 64})
