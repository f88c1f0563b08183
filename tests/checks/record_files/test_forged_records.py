"""A journal rebuilt by a forger without the keys of the signers is detected by the signatures."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.record_files.verification import LIMITS
from checks.revision import basis
from checks.signoff.signatures import key_id, public_text, sign
from tests.checks.record_files.handed import Data, anchored, of_kind, rebuilt, sealed, seq, verdict
from tests.checks.team import Team

OTHER_JOURNAL = "based on another journal; an earlier event was changed, added or removed"


def mirrored(data: Data) -> Data:
    """Copy the contents of the events to the blocks of the file."""
    data["revision"] = of_kind(data, "revision")["body"]
    for block, signed in zip(data["signatures"], signatures(data), strict=True):
        body = signed["body"]
        block.update({"half": body["half"], "signer": body["statement"]["signer"], "key": body["public"]})
        block.update({"signature": body["signature"], "statement": body["statement"]})
    return data


def signatures(data: Data) -> list[Data]:
    """Signature events of the exported revision."""
    signed = (event for event in data["events"] if event.get("event", {}).get("kind") == "signature")
    return [event for event in signed if event["body"]["number"] == data["number"]]


def test_a_journal_built_anew_without_a_change_is_the_same(data: Data, story_data: Data) -> None:
    assert rebuilt(data) == story_data
    assert verdict(data)[0] == 0


def test_a_changed_answer_before_the_revision_is_found_by_what_the_revision_rests_on(data: Data) -> None:
    of_kind(data, "answer")["body"]["by"] = "TM-7"
    revision = seq(of_kind(data, "revision"))
    assert verdict(rebuilt(data)) == (1, [f"event {revision}: {OTHER_JOURNAL}"])


def test_and_where_the_revision_is_made_to_rest_on_it_by_the_signature(data: Data) -> None:
    of_kind(data, "answer")["body"]["by"] = "TM-7"
    revision_event = of_kind(data, "revision")
    anchored(data, revision_event["body"], seq(revision_event))
    first = seq(signatures(data)[0])
    why = f"event {first}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(data)) == (1, [why])
    digest = basis.hash_of(revision_event["body"])
    for signed in signatures(data):
        signed["body"]["statement"]["revision"] = digest
        anchored(data, signed["body"]["statement"], seq(signed))
    assert verdict(mirrored(data)) == (1, [f"event {first}: the signature of the safety half is not valid"])


def test_an_attendance_taken_out_of_the_history_is_found(data: Data) -> None:
    del data["events"][seq(of_kind(data, "attendance")) - 1]
    revision = seq(of_kind(rebuilt(data), "revision"))
    assert verdict(data) == (1, [f"event {revision}: {OTHER_JOURNAL}"])


def test_what_was_put_in_between_revision_and_signature_is_found(data: Data) -> None:
    first, second = signatures(data)
    data["events"].insert(seq(first) - 1, deepcopy(of_kind(data, "attendance")))
    rebuilt(data)
    assert verdict(data) == (1, [f"event {seq(second)}: {OTHER_JOURNAL}"])


def test_a_signature_of_the_same_signer_for_the_revision_before_is_found(data: Data) -> None:
    old = next(event for event in data["events"] if event.get("event", {}).get("kind") == "signature")
    new = signatures(data)[0]
    new["body"].update(signature=old["body"]["signature"], statement=old["body"]["statement"])
    rebuilt(data)
    why = f"event {seq(new)}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(data)) == (1, [why])


def test_a_signature_of_the_same_signer_for_another_system_is_found(data: Data, story: Team) -> None:
    (old,) = (event for event in story.store.events(1, kinds=("signature",)) if event.content["system"] == "S50")
    new = signatures(data)[0]
    new["body"].update(signature=old.content["signature"], statement=old.content["statement"])
    rebuilt(data)
    why = f"event {seq(new)}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(data)) == (1, [why])


def test_a_revision_that_stands_twice_in_the_journal_is_none(data: Data) -> None:
    revision_event = of_kind(data, "revision")
    data["events"].insert(seq(revision_event), deepcopy(revision_event))
    assert verdict(rebuilt(data)) == (1, ["revision 1 of S30 occurs 2 times in the journal, not once"])


def key_event(data: Data, half: str) -> Data:
    (signed,) = (event for event in signatures(data) if event["body"]["half"] == half)
    return next(
        event
        for event in data["events"]
        if event.get("event", {}).get("kind") == "key" and event["body"]["key"] == signed["body"]["key"]
    )


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"name": "IA-2"}, "the safety half was signed by IA-1, with a key enrolled for IA-2"),
        ({"public": "AAAA"}, "the safety half was signed with a key that was not enrolled"),
        ({"key": "ab" * 8}, "the safety half was signed with a key that was not enrolled"),
        ({"roles": ["security reviewer"]}, "IA-1 is not enrolled for the safety half"),
    ],
)
def test_an_enrolment_that_was_changed_is_found_though_no_signature_stood_after_it(
    data: Data, fields: dict[str, Any], why: str
) -> None:
    """Both keys come first in this journal; so the forger rebuilds everything that is based on the journal."""
    key_event(data, "safety")["body"].update(fields)
    rebuilt(data)
    status, (line,) = verdict(data)
    assert (status, line.endswith(OTHER_JOURNAL)) == (1, True)
    _all_anchored(data)
    assert verdict(mirrored(data)) == (1, [f"event {seq(signatures(data)[0])}: {why}"])


def _all_anchored(data: Data) -> None:
    for event in [event for event in data["events"] if event.get("event", {}).get("kind") in ("revision", "signature")]:
        body = event["body"] if event["event"]["kind"] == "revision" else event["body"]["statement"]
        anchored(data, body, seq(event))


def test_a_key_that_was_enrolled_only_after_the_signature_is_found(story: Team, tmp_path: Any) -> None:
    """The only case that needs no key of a signer: the forger's own, enrolled by a false owner afterwards."""
    team = story.copy(tmp_path / "answers.sqlite3")
    data = json.loads(team.export())
    event = key_event(data, "safety")
    data["events"].remove(event)
    data["events"].insert(len(data["events"]) - 1, event)
    _all_anchored(rebuilt(data))
    private = Ed25519PrivateKey.generate()
    why = f"event {seq(signatures(data)[0])}: the safety half was signed with a key that was not enrolled"
    assert verdict(_resigned(data, {"safety": private})) == (1, [why])


def _resigned(data: Data, forged: dict[str, Ed25519PrivateKey]) -> Data:
    """Sign these halves of everything with the forger's keys, enrolled in the names of the signers."""
    keys = {}
    for half, private in forged.items():
        body, public = key_event(data, half)["body"], public_text(private.public_key())
        keys[body["key"]] = private, {"key": key_id(public), "public": public}
    for event in [event for event in data["events"] if event.get("event", {}).get("kind") == "key"]:
        event["body"].update(keys.get(event["body"]["key"], (None, {}))[1])
    digests: dict[int, str] = {}
    for event in [event for event in data["events"] if event.get("event", {}).get("kind") in ("revision", "signature")]:
        body = event["body"]
        if event["event"]["kind"] == "revision":
            anchored(data, body, seq(event))
            digests[body["number"]] = basis.hash_of(body)
            continue
        body["statement"]["revision"] = digests[body["number"]]
        anchored(data, body["statement"], seq(event))
        if body["key"] in keys:
            private, names = keys[body["key"]]
            body["statement"]["key"] = names["key"]
            body.update(names, signature=sign(private, body["statement"]))
    rebuilt(data)
    return mirrored(data)


def test_who_builds_all_of_it_anew_under_keys_of_his_own_is_told_by_the_names_of_the_keys_alone(data: Data) -> None:
    """No file can show whose a key is; verify says so, and prints the id of each key for comparison."""
    genuine = [key_event(data, half)["body"]["key"] for half in ("safety", "security")]
    forged = {half: Ed25519PrivateKey.generate() for half in ("safety", "security")}
    status, lines = verdict(_resigned(data, forged))
    assert status == 0, lines
    assert not any(key in line for key in genuine for line in lines)
    assert lines[-1] == LIMITS
    assert LIMITS.startswith("not shown by any file: that a key belongs to the person named beside it")


def test_a_withdrawal_cannot_be_undone_by_enrolling_the_key_again(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    data = json.loads(team.export())
    data["events"].insert(len(data["events"]) - 1, deepcopy(key_event(data, "safety")))
    status, lines = verdict(rebuilt(data))
    assert status == 0
    assert any("does not count: the key was withdrawn" in line for line in lines)


def test_a_withdrawal_that_was_sealed_is_found_by_the_count_of_the_export(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    data = json.loads(team.export())
    sealed(data, of_kind(data, "key-withdrawn"))
    status, (line,) = verdict(data)
    assert (status, line.endswith("some were sealed since")) == (1, True)


def test_a_withdrawal_sealed_or_left_out_with_a_new_end_shows_in_the_last_hash_alone(
    story: Team, tmp_path: Any
) -> None:
    """No signature covers events after the last one: only the hash in the database shows the change."""
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    data = json.loads(team.export())
    head = data["head"]
    sealed(data, of_kind(data, "key-withdrawn"))
    status, lines = verdict(rebuilt(data))
    assert status == 0
    assert head not in lines[0]
    assert "the contents of sealed events, and what was recorded after the export" in lines[-1]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: of_kind(data, "answer")["body"].clear(),
        lambda data: of_kind(data, "revision")["body"].clear(),
        lambda data: of_kind(data, "revision")["body"].update(facts=5),
        lambda data: of_kind(data, "revision")["body"].update(journal={"events": "1", "head": None}),
        lambda data: of_kind(data, "revision")["body"].update(journal={"events": 0, "head": data["head"]}),
        lambda data: of_kind(data, "signature")["body"].update(number=99),
        lambda data: of_kind(data, "signature")["body"].update(statement={}),
        lambda data: of_kind(data, "signature")["body"].update(statement=None, half=5),
        lambda data: of_kind(data, "key")["body"].update(roles=None),
        lambda data: of_kind(data, "key")["body"].update(public="ü", name=7),
        lambda data: of_kind(data, "dissent-closed")["body"].update(who=["TM-2"]),
        lambda data: of_kind(data, "evidence")["body"].update(of=["plant"], strength={}),
        lambda data: of_kind(data, "export")["body"].update(shown="all", system=None),
        lambda data: of_kind(data, "gap-accepted")["body"].pop("zone"),
        lambda data: data["events"].clear(),
        lambda data: data["events"].__delitem__(slice(0, -1)),
    ],
)  # fmt: skip
def test_events_that_this_program_never_writes_are_told_in_one_line(data: Data, spoil: Callable[[Data], Any]) -> None:
    spoil(data)
    if data["events"]:
        rebuilt(data)
    for forged in (data, {**data, "revision": of_kind(data, "revision")["body"]} if len(data["events"]) > 1 else data):
        status, lines = verdict(forged)
        assert (status, len(lines)) == (1, 1)


def unsigned(team: Team) -> Data:
    team.put_up("S50")
    unsigned_data: Data = json.loads(team.export(team.latest("S50")))
    return unsigned_data


@pytest.mark.parametrize(("factor", "status"), [(1 + 1e-15, 0), (1 - 1e-13, 0), (1 + 1e-8, 1), (0.5, 1), (-1, 1)])
def test_figures_that_do_not_follow_from_the_facts_are_found_but_for_the_last_digit(
    team: Team, factor: float, status: int
) -> None:
    data = unsigned(team)
    body = of_kind(data, "revision")["body"]
    body["results"]["functions"]["SIF-501"]["pfd"]["adjusted"] *= factor
    exit_status, lines = verdict(rebuilt({**data, "revision": body}))
    assert exit_status == status
    if status:
        assert lines[0].startswith(
            "the figures do not follow from the facts: results.functions.SIF-501.pfd.adjusted is "
        )


@pytest.mark.parametrize(
    "spoil",
    [
        lambda facts: facts["plant"]["groups"]["lt-501"].update(channels=[["NONE"], ["LT"]]),
        lambda facts: facts["plant"]["devices"]["LT"].update(lambda_du_fit=0.0),
        lambda facts: facts["plant"]["groups"]["lt-501"].update(voting="9oo9"),
        lambda facts: facts["plant"].update(functions={}),
        lambda facts: facts["plant"].pop("groups"),
        lambda facts: facts.update(shared_by=[]),
        lambda facts: facts.update(system="S40"),
        lambda facts: facts.update(reach={"package": 7}),
    ],
)  # fmt: skip
def test_facts_that_cannot_be_computed_are_told_in_one_line(team: Team, spoil: Callable[[Data], Any]) -> None:
    data = unsigned(team)
    body = of_kind(data, "revision")["body"]
    spoil(body["facts"])
    status, lines = verdict(rebuilt({**data, "revision": body}))
    assert (status, len(lines)) == (1, 1), lines
