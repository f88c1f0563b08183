"""What a draft changes before it is stored."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from checks.plant_tables.preview import Change, preview
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.recording import plant_setup
from checks.state.live import State
from demo.load import PLANT
from tests.checks.plant_tables.tables import changed
from tests.pages.reports.recorded import TEAM, Keeping

DEMO = plant_file.read(PLANT)


@pytest.fixture(scope="module")
def reviewed(tmp_path_factory: pytest.TempPathFactory) -> State:
    """The demo plant with a revision of two systems, one of them signed."""
    keeping = Keeping(tmp_path_factory.mktemp("reviewed"), DEMO)
    for system in ("S30", "S50"):
        keeping.put_up(system)
    return keeping.live.state()


def _after(sheet: str, at: int, **cells: str) -> Plant:
    plant = changed(DEMO, sheet, at, **cells).plant
    assert plant is not None
    return plant


def _row(block: str, key: str) -> int:
    return list(getattr(DEMO, block)).index(key)


def test_nothing_changed_says_so(reviewed: State) -> None:
    found = preview(reviewed, DEMO)
    assert found.nothing
    assert (found.moves, found.invalidated, found.unused) == ((), (), 0)


def test_a_changed_interval_names_its_old_and_new_text_the_results_and_the_sign_offs(reviewed: State) -> None:
    found = preview(reviewed, _after("Groups", _row("groups", "esv-301"), proof_test__interval_h="17520"))
    assert found.changed == (Change("Groups", "esv-301", (("proof_test.interval_h", "8760", "17520"),)),)
    users = {key for key, function in DEMO.functions.items() if "esv-301" in function.group_ids}
    assert {move.function for move in found.moves} == users
    assert all(move.before and move.after and move.after.scored > move.before.scored for move in found.moves)
    assert [(each.system, each.number) for each in found.invalidated] == [("S30", 0)]


@pytest.mark.parametrize("key", ["pt-301", "con-210", "ls-sis"])
def test_the_preview_of_invalidated_revisions_is_what_the_change_then_does(tmp_path: Path, key: str) -> None:
    keeping = Keeping(tmp_path, DEMO)
    for system in DEMO.systems:
        keeping.put_up(system)
    after = _after("Groups", _row("groups", key), mttr_h="36")
    expected = {each.system for each in preview(keeping.live.state(), after).invalidated}
    plant_setup.save(keeping.live, TEAM, after, seen=keeping.live.state().version.data)
    revisions = keeping.live.state().records.revisions
    assert {system for system, fixed in revisions.items() if fixed[-1].voided} == expected
    assert expected


def test_a_note_moves_no_result(reviewed: State) -> None:
    assert preview(reviewed, _after("Zones", 0, note="a word more")).moves == ()


def test_what_is_gone_and_the_answers_that_are_no_longer_used_are_counted(reviewed: State) -> None:
    functions = {key: function for key, function in DEMO.functions.items() if key != "SIF-301"}
    systems = {
        key: system.model_copy(update={"functions": [name for name in system.functions if name != "SIF-301"]})
        for key, system in DEMO.systems.items()
    }
    groups = {key: group for key, group in DEMO.groups.items() if key != "pt-301"}
    after = DEMO.model_copy(update={"functions": functions, "systems": systems, "groups": groups})
    found = preview(reviewed, after)
    assert Change("Functions", "SIF-301") in found.gone
    assert Change("Groups", "pt-301") in found.gone
    assert found.unused == sum(of == "group:pt-301" for _, of in reviewed.stored)
    assert [(move.function, move.after) for move in found.moves if move.after is None] == [("SIF-301", None)]


def test_answers_of_what_went_earlier_are_not_counted_again(reviewed: State) -> None:
    gone_earlier = {("SEP1", "group:gone-before"): next(iter(reviewed.stored.values()))}
    assert preview(replace(reviewed, stored={**reviewed.stored, **gone_earlier}), DEMO).unused == 0
