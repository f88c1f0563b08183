"""Declarations of each kind of event: one module per kind, systems concerned, visibility, taking part."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from pydantic import ValidationError

from checks.access.roles import MAY
from checks.events import kinds
from checks.events.answering import answer, private_answer, reveal
from checks.events.plant import action, assessment_round, change, plant_data
from checks.events.signoff import accepted_gap, export, key
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.text.canonical import canonical

OF_S30 = frozenset({"plant", "system:S30", "group:pt-301", "zone:sis"})
GIVEN = answer.Body(question="SEP1", of="group:pt-301", value="met", by="TM-1")
ROUND = assessment_round.Body(system="S40", number=1, blank=True, answers=named([("Z01", "zone:sis")]))


def event(kind: str, body: object) -> Event:
    return Event("j", 1, kind, None, 0, "2025-03-04T12:00:00.000+00:00", "TM-1", "", "", "", canonical(body).decode())


def test_every_module_of_the_folders_is_a_kind_that_is_registered() -> None:
    folder = Path(kinds.__file__).parent
    modules = [path for path in folder.glob("*/*.py") if path.stem != "__init__"]
    bodies = {kind.__module__.rpartition(".")[2] for kind in kinds.KINDS.values()}
    assert bodies == {path.stem for path in modules}
    for path in modules:
        names = {node.name for node in ast.parse(path.read_text()).body if isinstance(node, ast.ClassDef)}
        assert names & {"Body", "Action"}, path


def test_a_permission_is_one_of_the_table_of_roles() -> None:
    assert {kind.PERMISSION for kind in kinds.KINDS.values()} <= {*MAY, ""}
    assert [kind.KIND for kind in kinds.KINDS.values() if not kind.PERMISSION] == [
        "entry-taken-back",
        "export",
    ]


def test_who_signs_must_have_done_none_of_these() -> None:
    """People who answered, confirmed, attended, led, recorded or accepted are not independent (house rule)."""
    assert {kind.KIND for kind in kinds.KINDS.values() if kind.TAKES_PART} == {
        "answer", "answer-taken-back", "private", "confirmed", "dissent", "dissent-closed", "evidence", "evidence-withdrawn",
        "attendance", "round", "revision", "gap-accepted", "data-checked", "entry-taken-back", "revealed",
        "attendance-corrected", "change", "failure", "plant-data", "action",
        "effort", "allowed-change",
    }  # fmt: skip


def test_an_answer_concerns_the_systems_that_its_addressee_belongs_to() -> None:
    assert GIVEN.concerns("S30", OF_S30)
    assert not GIVEN.concerns("S50", frozenset({"system:S50"}))
    assert GIVEN.names() == ("TM-1",)


def test_a_round_takes_up_answers_that_other_systems_share_but_only_its_own_record_shows_it() -> None:
    assert ROUND.concerns("S40", frozenset())
    assert ROUND.concerns("S30", OF_S30)
    assert not ROUND.shown_to("S30", OF_S30)
    assert ROUND.shown_to("S40", frozenset())


@pytest.mark.parametrize(
    "body",
    [
        plant_data.Body(text="format: 2"),
        private_answer.Body(question="SEP1", of="plant", who="TM-1", value="met"),
        reveal.Body(answers=named([("SEP1", "plant")])),
    ],
)
def test_what_holds_the_whole_plant_or_was_private_is_sealed_in_every_record(body: plant_data.Body) -> None:
    assert body.concerns("S30", OF_S30)
    assert not body.shown_to("S30", OF_S30)


def test_a_key_is_shown_in_every_record_and_an_export_only_in_that_of_its_system() -> None:
    assert key.Body(key="k", public="p", name="IA-1", roles=()).shown_to("S50", frozenset())
    assert export.Body(what="record", system="S30").shown_to("S30", frozenset())
    assert not export.Body(what="gaps of Z1, CSV").shown_to("S30", OF_S30)


def test_an_answer_replaces_the_one_before_only_where_value_evidence_or_note_differ() -> None:
    assert GIVEN.replaces(None) == "SEP1 of group:pt-301 was answered met"
    assert GIVEN.replaces(GIVEN.model_copy(update={"by": "TM-2", "on": "2025-03-04"})) == ""
    for field in ("value", "evidence", "note"):
        assert GIVEN.replaces(GIVEN.model_copy(update={field: "partly"}))


def test_an_event_of_another_form_is_refused_and_an_unknown_kind_is_none() -> None:
    with pytest.raises(ValidationError, match="question"):
        kinds.read(event("answer", {"of": "plant", "value": "met"}))
    fields = ("question", "of", "kind", "identifier", "revision", "dated", "shows", "valid_until", "until_event")
    with pytest.raises(ValidationError, match="strength"):
        kinds.read(event("evidence", {**dict.fromkeys(fields, ""), "strength": "3"}))
    assert kinds.read(event("of-a-later-release", {})) is None


def test_a_field_that_was_not_given_is_not_written() -> None:
    """So a new optional field changes no event of an earlier release."""
    fields = {"system": "S30", "zone": "sis", "question": "Z01", "reason": "locked", "until": "2030-01-01"}
    assert accepted_gap.Body.read(event("gap-accepted", fields)).data() == fields
    assert export.Body(what="gaps of Z1, CSV").data() == {"what": "gaps of Z1, CSV"}


def test_bodies_are_written_under_the_names_of_the_journal() -> None:
    body = change.Body(
        reference="", on="2025-03-04", what="new valves", kind="device-same-batch", touched=("plant",), topics=(),
        reopened=named([("SEP1", "plant")]), data_to_check=("groups.pt-301.proof_test",), systems=("S30",),
    )  # fmt: skip
    assert body.data()["data"] == ["groups.pt-301.proof_test"]
    assert body.data()["reopened"] == [{"question": "SEP1", "of": "plant"}]
    assert body.invalidates() == "new valves"


def test_an_action_is_written_whole_and_names_its_system_and_addressees() -> None:
    raised = action.Action.model_validate(
        {"id": "A-001", "what": "split", "owner": "O", "due": "2030-01-01", "raised_on": "2025-01-01", "raised_by": "B",
         "questions": [{"question": "SEP1", "of": "group:pt-301"}]}
    )  # fmt: skip
    assert raised.concerns("S30", OF_S30)
    assert not raised.concerns("S50", frozenset())
    assert raised.data()["closed_on"] is None


def test_a_figure_that_is_no_number_is_not_written_as_null() -> None:
    """The canonical form refuses it, so that nothing is stored."""
    body = kinds.KINDS["failure"].model_validate(
        {"on": "2025-03-04", "reference": "", "groups": [], "channels": [], "found_by": "other", "is_event": None,
         "parts": [], "asks": [], "systems": [], "period_h": float("inf")}, strict=False,
    )  # fmt: skip
    with pytest.raises(ValueError, match="inf"):
        canonical(body.data())
