"""A new function from a few choices becomes rows that make a valid plant."""

from __future__ import annotations

from checks.assessment.assessment import Assessment
from checks.plant_tables import rows
from checks.plant_tables.draft import draft
from checks.plant_tables.new_function import NewFunction, NewGroup, rows_of
from checks.plantfile import plant_file
from tests.checks.plant_tables.tables import as_entries

TESTS = {
    "proof_test.interval_h": "1 y",
    "proof_test.coverage": "90 %",
    "proof_test.full_interval_h": "10 y",
    "mttr_h": "24 h",
    "mrt_h": "24 h",
}
STATED = {"stated_result.pfd": "1.2e-4", "stated_result.source": "certificate"}


def test_three_parts_make_a_function_whose_result_is_the_sum_of_theirs() -> None:
    sensors = NewGroup("lt-1", known=False, part="sensor", voting="2oo3", devices=("LT",), zone="sis", cells=TESTS)
    solver = NewGroup("ls-1", known=False, part="logic", zone="sis", cells=STATED)
    valves = NewGroup(
        "xv-1", known=False, part="final", voting="1oo2", devices=("SOV", "XV"), programmable=False, cells=TESTS
    )
    devices = [{"id": key, "lambda_du_fit": "500", "source": "site"} for key in ("LT", "SOV", "XV")]
    cells = {"id": "SIF-1", "demand": "low", "target_sil": "SIL 2", "system": "S1"}
    added = rows_of(NewFunction(cells, (sensors, solver, valves), devices))
    added |= {"Zones": [{"id": "sis"}], "Systems": [{"id": "S1"}]}
    plant = plant_file.empty("Own")
    found = draft(plant, as_entries({**rows.of_plant(plant), **added}), whole=True)
    assert found.faults == ()
    assert found.plant is not None
    assert found.plant.groups["xv-1"].channels == [["SOV", "XV"], ["SOV", "XV"]]
    assert not found.plant.groups["xv-1"].programmable
    function = Assessment(found.plant).function("SIF-1")
    assert [entry.id for entry in function.entries] == ["lt-1", "ls-1", "xv-1"]
    assert function.target == 100.0


def test_a_group_that_is_there_already_adds_no_row() -> None:
    known = NewGroup("ls-1", known=True, part="logic")
    assert rows_of(NewFunction({"id": "F"}, (known,), []))["Groups"] == []


def test_a_voting_that_cannot_be_read_is_left_for_the_draft_to_name() -> None:
    group = NewGroup("g", known=False, part="sensor", voting="two of three", devices=("D",))
    (row,) = rows_of(NewFunction({"id": "F"}, (group,), []))["Groups"]
    assert (row["voting"], row["channels"]) == ("two of three", "D")
