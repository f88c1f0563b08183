"""Import of an exported plant file: a changed answer needs the permission to answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from checks.access.roles import FACILITATOR, OWNER, NotAllowed, Person
from checks.plantfile.plant import Answer, Asked, Plant
from checks.reassessment import change_records
from checks.reassessment.reopening import Change
from checks.recording import answer_records, answering, file_answers, plant_import, plant_setup
from checks.recording.plant_setup import DataChangedMeanwhile
from checks.state.live import Live
from pages.presentation.wording import author
from tests.checks.team import ANSWERS, DAY, DISSENT, EVIDENCE, LEADS, OWNS, Team, ahead, midnight

SEEN = ("SEP1", "group:pt-301")


def _with(plant: Plant, **changes: str) -> Plant:
    """The plant with its answer to SEP1 of pt-301 changed."""

    def edited(answer: Answer) -> Answer:
        return answer.model_copy(update=changes) if (answer.question, answer.of) == SEEN else answer

    return plant.model_copy(update={"answers": [edited(answer) for answer in plant.answers]})


def _ticked(team: Team) -> dict[Asked, int]:
    """A tick at the stored answer to SEP1 of pt-301."""
    return {SEEN: team.now().stored[SEEN].id}


@pytest.mark.parametrize("person", [LEADS, OWNS], ids=[FACILITATOR, OWNER])
@pytest.mark.parametrize("change", [{"value": "partly"}, {"evidence": "drawing 9"}, {"note": "seen"}], ids=str)
def test_an_import_needs_the_permission_to_answer(team: Team, change: dict[str, str], person: Person) -> None:
    before = team.count()
    with pytest.raises(NotAllowed, match="to answer a question needs the role team member"):
        plant_import.import_plant(team.store, person, _with(team.now().file(), **change), ticked=_ticked(team))
    assert team.count() == before


@pytest.mark.parametrize("person", [LEADS, OWNS], ids=[FACILITATOR, OWNER])
def test_a_further_plant_comes_without_answers_from_who_may_not_answer(team: Team, person: Person) -> None:
    file = team.now().file()
    further = file.model_copy(update={"plant": file.plant.model_copy(update={"name": "Another Works"})})
    plants = team.store.plants()
    with pytest.raises(NotAllowed, match="to answer a question needs the role team member"):
        plant_import.import_plant(team.store, person, further)
    assert team.store.plants() == plants
    bare = further.model_copy(update={"answers": []})
    key = plant_import.import_plant(team.store, person, bare)
    assert [event.kind for event in team.store.events(key)] == ["plant-data"]
    assert plant_import.import_plant(team.store, ANSWERS, further) == key
    taken = Live(team.store, key).state().stored[SEEN]
    assert (taken.answer.by, taken.recorded_by) == ("TM-1", "TM-1")


def test_a_team_member_may_answer_by_import(team: Team) -> None:
    file = _with(team.now().file(), value="partly")
    plant_import.import_plant(team.store, ANSWERS, file, ticked=_ticked(team))
    assert [event.kind for event in team.store.events(1)[-2:]] == ["plant-data", "answer"]
    assert team.now().stored[SEEN].answer.value == "partly"


def test_another_author_or_day_in_the_file_confirms_nothing(team: Team) -> None:
    change = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))
    change_records.record_change(team.live, LEADS, change, reference="MOC-1", on="2025-03-04", what="one batch for all")
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
    owner, at = replace(LEADS, roles=frozenset({OWNER})), midnight(DAY + timedelta(days=4)).isoformat()
    plant_import.import_plant(later.store, owner, state.file(), at=at)
    assert later.store.events(1)[-1].kind == "plant-data"
    assert later.now().stored == state.stored
    assert later.now().file().answers == state.file().answers


def test_an_older_file_puts_no_newer_answer_back(team: Team) -> None:
    older = team.now().file()
    wanted = [answer for answer in older.answers if answer.value == "met"][:11]
    for answer in wanted:
        fields = {"question": answer.question, "of": answer.of, "value": "not-met", "on": "2999-01-01"}
        answering.record(team.live, ANSWERS, fields, seen=team.now().stored[answer.question, answer.of].id)
    newer = {asked: stored for asked, stored in team.now().stored.items() if stored.answer.on == "2999-01-01"}
    assert len(newer) == 11
    plant_import.import_plant(team.store, ANSWERS, older)
    assert {asked: team.now().stored[asked] for asked in newer} == newer
    assert team.store.events(1)[-1].kind == "plant-data"


@pytest.mark.parametrize(
    ("on", "group"),
    [("2999-01-01", "newer"), ("", "not_newer"), ("2000-01-01", "not_newer"), ("SAME", "not_newer")],
)
def test_the_days_decide_which_answer_of_a_file_is_taken_without_asking(team: Team, on: str, group: str) -> None:
    day = team.now().stored[SEEN].given_on if on == "SAME" else on
    file = _with(team.now().file(), value="partly", on=day, by="TM-7")
    (found,) = getattr(file_answers.compared(team.now(), file.answers), group)
    assert (found.asked, found.answer.value) == (SEEN, "partly")
    plant_import.import_plant(team.store, ANSWERS, file)
    taken = team.now().stored[SEEN]
    assert taken.answer.value == ("partly" if group == "newer" else "met")
    if group == "newer":
        assert author(taken.answer.by, taken.recorded_by) == "TM-7, imported by TM-1"


def test_a_tick_is_no_consent_to_replace_an_answer_that_was_given_since(team: Team) -> None:
    file, ticked = _with(team.now().file(), value="partly"), _ticked(team)
    fields = {"question": SEEN[0], "of": SEEN[1], "value": "not-met"}
    since = answering.record(team.live, ANSWERS, fields, seen=team.now().stored[SEEN].id)
    plant_import.import_plant(team.store, ANSWERS, file, ticked=ticked)
    assert team.now().stored[SEEN] == since


def test_plant_data_that_somebody_changed_since_the_preview_stay(team: Team) -> None:
    seen, file = team.now().version.data, team.now().file()
    plant_setup.save(team.live, LEADS, team.now().plant, seen=seen)
    before = team.count()
    with pytest.raises(DataChangedMeanwhile):
        plant_import.import_plant(team.store, ANSWERS, file, seen=seen)
    assert team.count() == before
