"""The beta method of a group chosen with a reason: what it undoes is said first, and a signature covers its answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checks.access.roles import MEMBER, NotAllowed, Person
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.record_files import verification
from checks.record_files.record_file import from_text
from checks.recording import group_method
from checks.recording.plant_setup import DataChangedMeanwhile
from checks.revision import basis
from checks.signoff import revisions, sampling, signers
from checks.signoff.sign_off import NotSigned
from checks.state.revision_status import VOID
from checks.text.faults import Refused
from tests.checks.team import LEADS, Team, every_answer, founded, three_systems

GROUP, METHOD, REASON = "pt-301", "iec62061-2005", "the machine's own assessment covers these sensors"


def plant() -> Plant:
    """Three systems in format 2, of which S30 can be signed as it stands."""
    return three_systems().model_copy(update={"format": 2, "answers": every_answer()})


@pytest.fixture
def team(tmp_path: Path) -> Team:
    return founded(tmp_path / "answers.sqlite3", plant(), "safety", "security")


def choose(team: Team, method: str = METHOD, reason: str = REASON, group: str = GROUP) -> None:
    group_method.choose(team.live, LEADS, group, method, reason, seen=team.now().version.data)


def answer_all(team: Team, value: str = "met", **fields: str) -> None:
    of = {"plant": "plant", "system": "system:S30", "group": f"group:{GROUP}"}
    for name, question in banks().opinions["iec62061"].items():
        team.say(name, of[question.asked_of], value, **fields)


def test_before_it_is_stored_it_says_beta_verdicts_and_what_it_undoes(team: Team) -> None:
    signed = team.signed()
    before = team.now().assessment.group(GROUP).betas
    found = group_method.consequences(team.now(), GROUP, "upm-1996", REASON)
    assert found.before == before
    assert found.after is not None
    assert found.after.beta_int == pytest.approx(
        15100 / 50000
    )  # UPM 1996, every factor at its worst level; from memory
    (undone,) = found.preview.invalidated
    assert (undone.system, undone.number, set(undone.signed)) == ("S30", signed.number, {"safety", "security"})
    assert {move.function for move in found.preview.moves} == set(team.now().assessment.links.uses[GROUP])
    for name, case, meets in found.verdicts:
        function = team.now().assessment.function(name)
        assert function.meets("scored" if "common cause" in case else "adjusted") != meets
    assert team.now().assessment.group(GROUP).betas == before, "nothing is stored yet"


def test_storing_it_voids_the_signature_and_the_signed_revision_keeps_its_figures(team: Team) -> None:
    signed = team.signed()
    body = json.loads(json.dumps(revisions.fixed_body(team.live, signed)))
    figures = basis.revision_assessment(body).group(GROUP).betas
    choose(team, "upm-1996")
    state, why = team.state()
    assert state == VOID
    assert "plant data changed" in why
    assert basis.revision_assessment(body).group(GROUP).betas == figures
    assert team.now().assessment.group(GROUP).betas != figures


def test_without_a_reason_unknown_or_after_another_change_nothing_is_stored(team: Team) -> None:
    count = team.count()
    for method, reason in ((METHOD, " "), ("guesswork", REASON)):
        with pytest.raises(Refused):
            choose(team, method, reason)
    with pytest.raises(DataChangedMeanwhile):
        group_method.choose(team.live, LEADS, GROUP, METHOD, REASON, seen=team.now().version.data - 1)
    assert team.count() == count


def test_the_way_back_leaves_the_plant_data_as_they_were(team: Team) -> None:
    before = team.now().plant
    choose(team)
    assert group_method.chosen(team.now().plant, GROUP) == (METHOD, REASON)
    choose(team, "", "")
    assert team.now().plant == before


def test_its_questions_are_covered_by_the_safety_half(team: Team) -> None:
    choose(team)
    answer_all(team, evidence="")
    with pytest.raises(NotSigned, match=r"answers without evidence, but scoring: .*MA"):
        team.sign("safety", team.put_up())
    answer_all(team, evidence="drawing 12 rev 3")
    revision = team.put_up()
    fixed = revisions.fixed_body(team.live, revision)
    covered = signers.banks_of("safety", fixed)
    drawn = sampling.order(fixed, covered, revision=revision.hash, who="IA-1")
    assert {answer["question"] for answer in drawn} >= set(banks().opinions["iec62061"])
    for half in ("safety", "security"):
        team.sign(half, revision)
    text = team.export(team.latest())
    lines = list(verification.verify(from_text("record", text)))
    assert any(line.startswith("safety half: signed") for line in lines)


def test_a_person_who_may_not_change_plant_data_cannot_choose(team: Team) -> None:
    stranger = Person("TM-2", frozenset({MEMBER}), systems=frozenset({"S50"}))
    with pytest.raises(NotAllowed, match="import plant data"):
        group_method.choose(team.live, stranger, GROUP, METHOD, REASON, seen=team.now().version.data)
