"""The history ends in the state of the plant file."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from checks.state.live import Live
from demo import load, replay
from demo.load import PLANT
from tests.demo.conftest import on

LATER = ("2026-11-01", "2026-11-25", "2031-01-01")
"""Days after the last expiry of evidence in the history."""


def by_asked(plant: Plant) -> dict[tuple[str, str], Answer]:
    return {(answer.question, answer.of): answer for answer in plant.answers}


@pytest.mark.parametrize("day", LATER)
def test_the_present_is_the_plant_file_answer_by_answer_and_figure_by_figure(
    as_of: Callable[[str], Live], day: str
) -> None:
    file, state = plant_file.read(PLANT), as_of(day).state()
    assert by_asked(state.file()) == by_asked(file)
    assert state.plant == file.model_copy(update={"answers": []})
    assert outcome(state.assessment) == outcome(Assessment(file))


def test_the_store_has_no_other_answers_than_the_file_and_those_of_a_removed_group(
    as_of: Callable[[str], Live],
) -> None:
    state = as_of("2026-11-25").state()
    assert {of for _, of in state.stored.keys() - by_asked(plant_file.read(PLANT)).keys()} == {"group:lt-701"}
    assert "lt-701" not in state.plant.groups


def test_every_difference_of_a_state_is_a_real_difference() -> None:
    present = plant_file.read(PLANT)
    values = {name: answer.value for name, answer in by_asked(present).items()}
    differences = {name: state for year in replay.YEARS for name, state in replay.read(year).get("states", {}).items()}
    assert list(differences) == ["as-2021", "as-2016", "as-2023", "as-2024"]
    for difference in differences.values():
        for of, by_question in difference.get("answers", {}).items():
            for question, entry in by_question.items():
                value = entry[0] if isinstance(entry, list) else entry
                assert values.get((question, of)) != value, f"{question} of {of} is not a difference"
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
