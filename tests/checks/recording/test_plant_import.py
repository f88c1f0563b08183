"""A plant file that is read in again: to import an answer that says something else is to answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from checks.access.roles import FACILITATOR, OWNER, NotAllowed
from checks.plantfile.plant import Answer, Plant
from checks.reassessment import reassessments
from checks.reassessment.reopening import Change
from checks.recording import plant_import, session
from tests.checks.team import ANSWERS, DAY, DISSENT, EVIDENCE, LEADS, OWNS, Team, ahead, noon

SEEN = ("SEP1", "group:pt-301")


def _with(plant: Plant, **changes: str) -> Plant:
    """The plant with its answer to SEP1 of pt-301 changed."""

    def told(one: Answer) -> Answer:
        return one.model_copy(update=changes) if (one.question, one.of) == SEEN else one

    return plant.model_copy(update={"answers": [told(one) for one in plant.answers]})


@pytest.mark.parametrize("person", [LEADS, OWNS], ids=[FACILITATOR, OWNER])
@pytest.mark.parametrize("change", [{"value": "partly"}, {"evidence": "drawing 9"}, {"note": "seen"}], ids=str)
def test_who_may_not_answer_does_not_answer_by_a_file(team: Team, change: dict[str, str], person: object) -> None:
    before = team.count()
    with pytest.raises(NotAllowed, match="to answer a question needs the role team member"):
        plant_import.import_plant(team.store, person, _with(team.now().file(), **change))  # type: ignore[arg-type]
    assert team.count() == before


def test_who_may_answer_does_so_by_a_file_too(team: Team) -> None:
    plant_import.import_plant(team.store, ANSWERS, _with(team.now().file(), value="partly"))
    assert [one.kind for one in team.store.events(1)[-2:]] == ["plant-data", "answer"]
    assert team.now().stored[SEEN].answer.value == "partly"


def test_another_author_or_day_in_the_file_confirms_nothing(team: Team) -> None:
    told = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))
    reassessments.change(team.live, LEADS, told, reference="MOC-1", on="2025-03-04", what="one batch for all")
    waiting = team.now().records.to_confirm
    assert SEEN in waiting
    plant_import.import_plant(team.store, LEADS, _with(team.now().file(), on="2026-01-01", by="IA-1"))
    assert team.store.events(1)[-1].kind == "plant-data"
    assert team.now().records.to_confirm == waiting
    assert team.now().stored[SEEN].answer.by == "TM-1"


def test_what_goes_out_and_comes_back_changes_no_answer_beside_which_a_dissent_or_ended_evidence_stands(
    team: Team,
) -> None:
    session.dissent(team.live, ANSWERS, SEEN, DISSENT)
    session.show(team.live, ANSWERS, ("ASM1", "system:S30"), {**EVIDENCE, "valid_until": ahead(3)})
    later = team.on(DAY + timedelta(days=4))
    now = later.now()
    spoken = {(one.question, one.of): one for one in now.file().answers}
    assert (spoken[SEEN].value, spoken["ASM1", "system:S30"].evidence) == ("not-met", "")
    owner, at = replace(LEADS, roles=frozenset({OWNER})), noon(DAY + timedelta(days=4)).isoformat()
    plant_import.import_plant(later.store, owner, now.file(), at=at)
    assert later.store.events(1)[-1].kind == "plant-data"
    assert later.now().stored == now.stored
    assert later.now().file().answers == now.file().answers
