"""The signed statement is plain prose that says what was reviewed, with what result, and what it is not."""

from __future__ import annotations

from checks.actions import recorded_actions
from checks.plantfile.plant import Plant
from checks.record_files import record_file, verification
from checks.signoff import revisions, statement
from checks.state.revision_status import SIGNED, VOID
from checks.text.number_format import measure
from tests.checks.team import ANSWERS, Team, ahead, three_systems_in_format_2


def test_the_prose_says_all_that_the_fields_say(team: Team) -> None:
    revision = team.put_up()
    event = team.sign("safety", revision, conditions=("weekly comparison",), until=ahead(30))
    stated = event.content["statement"]
    text = stated["text"]
    for part in (
        "I, IA-1, independent assessor, reviewed the safety half of revision 0 of the safety system S30",
        "an assessment, not an audit and not a certificate",
        revision.hash,
        stated["independence"],
        stated["competence"],
        f"until {ahead(30)}",
        "weekly comparison (A-001)",
        f"{stated['journal']['events']} events",
        stated["journal"]["head"],
        f"Signed {stated['at']} (UTC)",
    ):
        assert part in text, part
    for verdict in stated["verdicts"]:
        assert f"{verdict['question']} of {verdict['of']}: the evidence shows it (read on site)" in text
    assert [entry["question"] for entry in stated["verdicts"]] == [entry["question"] for entry in stated["sample"]]
    for name in team.now().plant.systems["S30"].functions:
        function = team.now().assessment.function(name)
        assert measure(function.demand, function.cases.scored) in text


def test_questions_without_an_answer_are_named_in_the_statement(team: Team) -> None:
    revision = team.put_up()
    fixed = revisions.fixed_body(team.live, revision)
    never = statement.never_answered(fixed, "safety")
    answered = {"SEP1", "ASM1", "PRO1"}
    assert never.missing
    assert not answered & {question for question, of in never.missing if of == "group:pt-301"}
    text = team.sign("safety", revision).content["statement"]["text"]
    assert f"Of {never.asked} questions of this half {len(never.missing)} were never answered" in text


def test_a_method_of_a_group_alone_is_named_in_the_statement_and_the_record_verifies(team: Team) -> None:
    raw = three_systems_in_format_2()
    raw["groups"]["pt-301"]["conventions"] = {"redundancy_method": "timeline"}
    team.change(Plant.model_validate(raw))
    text = team.sign("safety", team.put_up()).content["statement"]["text"]
    assert "redundancy method: annex-b, edition 2" in text
    assert "; redundancy of pt-301: timeline, edition 1." in text
    lines = verification.verify(record_file.from_text("record", team.export()))
    assert any("safety half: signed by IA-1" in line for line in lines)
    assert "figures: fits; computed again from the facts, no difference" in lines


def test_a_condition_ends_visibly_when_its_action_is_dropped(team: Team) -> None:
    revision = team.put_up()
    team.sign("safety", revision, conditions=("weekly comparison",), until=ahead(30))
    team.sign("security", revision)
    assert team.state()[0] == SIGNED
    recorded_actions.drop(team.live, ANSWERS, "A-001", reason="too much work")
    status, why = team.state()
    assert status == VOID
    assert why.startswith("revision 0: a condition of the safety half ended: its action A-001 was dropped on")
    record = record_file.from_text("record", team.export())
    assert any("security half: signed by SR-1" in line for line in verification.verify(record))


def test_a_closed_action_leaves_the_condition_in_force(team: Team) -> None:
    revision = team.put_up()
    team.sign("safety", revision, conditions=("weekly comparison",), until=ahead(30))
    team.sign("security", revision)
    recorded_actions.close(team.live, ANSWERS, "A-001", evidence="walk-down 31", verifier="OW-1")
    assert team.state()[0] == SIGNED
