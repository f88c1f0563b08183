"""The history ends in the plant file: whoever reads one reads the other."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from checks.assessment.assessment import Assessment
from checks.assessment.json_results import outcome
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from checks.state.live import Live
from demo import load, replay
from demo.load import PLANT
from tests.demo.conftest import on

LATER = ("2026-11-01", "2026-11-25", "2031-01-01")
"""From the day after the last evidence of the history that has a last day."""


def by_asked(plant: Plant) -> dict[tuple[str, str], Answer]:
    return {(one.question, one.of): one for one in plant.answers}


@pytest.mark.parametrize("day", LATER)
def test_the_present_is_the_plant_file_answer_by_answer_and_figure_by_figure(
    seen: Callable[[str], Live], day: str
) -> None:
    file, now = plant_file.read(PLANT), seen(day).state()
    assert by_asked(now.file()) == by_asked(file)
    assert now.plant == file.model_copy(update={"answers": []})
    assert outcome(now.assessment) == outcome(Assessment(file))


def test_only_answers_of_a_group_that_was_taken_out_stand_beside_those_of_the_file(
    seen: Callable[[str], Live],
) -> None:
    now = seen("2026-11-25").state()
    assert {of for _, of in now.stored.keys() - by_asked(plant_file.read(PLANT)).keys()} == {"group:lt-701"}
    assert "lt-701" not in now.plant.groups


def test_what_the_history_tells_of_a_state_differs_from_the_state_it_is_told_against() -> None:
    present = plant_file.read(PLANT)
    values = {name: one.value for name, one in by_asked(present).items()}
    told = {name: one for year in replay.YEARS for name, one in replay.read(year).get("states", {}).items()}
    assert list(told) == ["as-2021", "as-2023", "as-2024"]
    for state in told.values():
        for of, held in state.get("answers", {}).items():
            for question, said in held.items():
                value = said[0] if isinstance(said, list) else said
                assert values.get((question, of)) != value, f"{question} of {of} is told again"
                values[question, of] = value


def test_loading_again_keeps_the_history_and_what_was_signed(copied: Store) -> None:
    before, signed = copied.version(1), on(copied, "2026-11-25").state().records.revisions
    assert load.into(copied) == 1
    after = copied.version(1)
    assert after.last == before.last + 1, "plant data once more, the same"
    assert on(copied, "2026-11-25").state().records.revisions == signed


def test_an_interrupted_first_start_leaves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def away(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(replay, "DEEDS", {**replay.DEEDS, "interval": away})
    store = Store(IN_MEMORY)
    with pytest.raises(KeyboardInterrupt):
        load.into(store)
    assert store.plants() == {}
