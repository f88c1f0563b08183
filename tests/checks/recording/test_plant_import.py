"""Import of an exported plant file: a changed answer needs the permission to answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from checks.access.roles import FACILITATOR, OWNER, NotAllowed
from checks.plantfile.plant import Answer, Plant
from checks.reassessment import reassessments
from checks.reassessment.reopening import Change
from checks.recording import answer_records, plant_import
from tests.checks.team import ANSWERS, DAY, DISSENT, EVIDENCE, LEADS, OWNS, Team, ahead, noon

SEEN = ("SEP1", "group:pt-301")


def _with(plant: Plant, **changes: str) -> Plant:
    """The plant with its answer to SEP1 of pt-301 changed."""

    def edited(answer: Answer) -> Answer:
        return answer.model_copy(update=changes) if (answer.question, answer.of) == SEEN else answer

    return plant.model_copy(update={"answers": [edited(answer) for answer in plant.answers]})


@pytest.mark.parametrize("person", [LEADS, OWNS], ids=[FACILITATOR, OWNER])
@pytest.mark.parametrize("change", [{"value": "partly"}, {"evidence": "drawing 9"}, {"note": "seen"}], ids=str)
def test_an_import_needs_the_permission_to_answer(team: Team, change: dict[str, str], person: object) -> None:
    before = team.count()
    with pytest.raises(NotAllowed, match="to answer a question needs the role team member"):
        plant_import.import_plant(team.store, person, _with(team.now().file(), **change))  # type: ignore[arg-type]
    assert team.count() == before


def test_a_team_member_may_answer_by_import(team: Team) -> None:
    plant_import.import_plant(team.store, ANSWERS, _with(team.now().file(), value="partly"))
    assert [event.kind for event in team.store.events(1)[-2:]] == ["plant-data", "answer"]
    assert team.now().stored[SEEN].answer.value == "partly"


def test_another_author_or_day_in_the_file_confirms_nothing(team: Team) -> None:
    change = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))
    reassessments.record_change(team.live, LEADS, change, reference="MOC-1", on="2025-03-04", what="one batch for all")
    waiting = team.now().records.to_confirm
    assert SEEN in waiting
    plant_import.import_plant(team.store, LEADS, _with(team.now().file(), on="2026-01-01", by="IA-1"))
    assert team.store.events(1)[-1].kind == "plant-data"
    assert team.now().records.to_confirm == waiting
    assert team.now().stored[SEEN].answer.by == "TM-1"


def test_export_and_import_change_no_answer_with_a_dissent_or_expired_evidence(
    team: Team,
) -> None:
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    answer_records.add_evidence(team.live, ANSWERS, ("ASM1", "system:S30"), {**EVIDENCE, "valid_until": ahead(3)})
    later = team.on(DAY + timedelta(days=4))
    state = later.now()
    effective = {(answer.question, answer.of): answer for answer in state.file().answers}
    assert (effective[SEEN].value, effective["ASM1", "system:S30"].evidence) == ("not-met", "")
    owner, at = replace(LEADS, roles=frozenset({OWNER})), noon(DAY + timedelta(days=4)).isoformat()
    plant_import.import_plant(later.store, owner, state.file(), at=at)
    assert later.store.events(1)[-1].kind == "plant-data"
    assert later.now().stored == state.stored
    assert later.now().file().answers == state.file().answers
