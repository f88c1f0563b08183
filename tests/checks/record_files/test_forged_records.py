"""A forger without the keys of the signers who builds the whole journal anew is found by what was signed."""

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
from tests.checks.record_files.handed import Told, anchored, of_kind, rebuilt, sealed, seq, verdict
from tests.checks.team import Team

OTHER_JOURNAL = "rests on another journal; an event before it was changed, put in or taken out"


def mirrored(told: Told) -> Told:
    """Let the blocks of the file say what the events say."""
    told["revision"] = of_kind(told, "revision")["body"]
    for block, held in zip(told["signatures"], signatures(told), strict=True):
        body = held["body"]
        block.update({"half": body["half"], "signer": body["statement"]["signer"], "key": body["public"]})
        block.update({"signature": body["signature"], "statement": body["statement"]})
    return told


def signatures(told: Told) -> list[Told]:
    """Events of the signatures of the revision that was handed out."""
    held = (one for one in told["events"] if one.get("event", {}).get("kind") == "signature")
    return [one for one in held if one["body"]["number"] == told["number"]]


def test_a_journal_built_anew_without_a_change_is_the_same(told: Told, story_data: Told) -> None:
    assert rebuilt(told) == story_data
    assert verdict(told)[0] == 0


def test_a_changed_answer_before_the_revision_is_found_by_what_the_revision_rests_on(told: Told) -> None:
    of_kind(told, "answer")["body"]["by"] = "TM-7"
    revision = seq(of_kind(told, "revision"))
    assert verdict(rebuilt(told)) == (1, [f"event {revision}: {OTHER_JOURNAL}"])


def test_and_where_the_revision_is_made_to_rest_on_it_by_the_signature(told: Told) -> None:
    of_kind(told, "answer")["body"]["by"] = "TM-7"
    one = of_kind(told, "revision")
    anchored(told, one["body"], seq(one))
    first = seq(signatures(told)[0])
    why = f"event {first}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(told)) == (1, [why])
    digest = basis.hash_of(one["body"])
    for held in signatures(told):
        held["body"]["statement"]["revision"] = digest
        anchored(told, held["body"]["statement"], seq(held))
    assert verdict(mirrored(told)) == (1, [f"event {first}: the signature of the safety half does not hold"])


def test_an_attendance_taken_out_of_the_history_is_found(told: Told) -> None:
    del told["events"][seq(of_kind(told, "attendance")) - 1]
    revision = seq(of_kind(rebuilt(told), "revision"))
    assert verdict(told) == (1, [f"event {revision}: {OTHER_JOURNAL}"])


def test_what_was_put_in_between_revision_and_signature_is_found(told: Told) -> None:
    first, second = signatures(told)
    told["events"].insert(seq(first) - 1, deepcopy(of_kind(told, "attendance")))
    rebuilt(told)
    assert verdict(told) == (1, [f"event {seq(second)}: {OTHER_JOURNAL}"])


def test_a_signature_of_the_same_signer_for_the_revision_before_is_found(told: Told) -> None:
    old = next(one for one in told["events"] if one.get("event", {}).get("kind") == "signature")
    new = signatures(told)[0]
    new["body"].update(signature=old["body"]["signature"], statement=old["body"]["statement"])
    rebuilt(told)
    why = f"event {seq(new)}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(told)) == (1, [why])


def test_a_signature_of_the_same_signer_for_another_system_is_found(told: Told, story: Team) -> None:
    (old,) = (one for one in story.store.events(1, kinds=("signature",)) if one.content["system"] == "S50")
    new = signatures(told)[0]
    new["body"].update(signature=old.content["signature"], statement=old.content["statement"])
    rebuilt(told)
    why = f"event {seq(new)}: the signature of the safety half belongs to another record"
    assert verdict(mirrored(told)) == (1, [why])


def test_a_revision_that_stands_twice_in_the_journal_is_none(told: Told) -> None:
    one = of_kind(told, "revision")
    told["events"].insert(seq(one), deepcopy(one))
    assert verdict(rebuilt(told)) == (1, ["revision 1 of S30 occurs 2 times in the journal, not once"])


def key_event(told: Told, half: str) -> Told:
    (held,) = (one for one in signatures(told) if one["body"]["half"] == half)
    return next(
        one
        for one in told["events"]
        if one.get("event", {}).get("kind") == "key" and one["body"]["key"] == held["body"]["key"]
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
    told: Told, fields: dict[str, Any], why: str
) -> None:
    """Both keys stand before everything else here; so the forger takes all that rests on the journal with him."""
    key_event(told, "safety")["body"].update(fields)
    rebuilt(told)
    status, (line,) = verdict(told)
    assert (status, line.endswith(OTHER_JOURNAL)) == (1, True)
    _all_anchored(told)
    assert verdict(mirrored(told)) == (1, [f"event {seq(signatures(told)[0])}: {why}"])


def _all_anchored(told: Told) -> None:
    for one in [one for one in told["events"] if one.get("event", {}).get("kind") in ("revision", "signature")]:
        body = one["body"] if one["event"]["kind"] == "revision" else one["body"]["statement"]
        anchored(told, body, seq(one))


def test_a_key_that_was_enrolled_only_after_the_signature_is_found(story: Team, tmp_path: Any) -> None:
    """The one case for which no key of a signer is needed: the forger's own, enrolled by a false owner afterwards."""
    team = story.copy(tmp_path / "answers.sqlite3")
    told = json.loads(team.export())
    event = key_event(told, "safety")
    told["events"].remove(event)
    told["events"].insert(len(told["events"]) - 1, event)
    _all_anchored(rebuilt(told))
    private = Ed25519PrivateKey.generate()
    why = f"event {seq(signatures(told)[0])}: the safety half was signed with a key that was not enrolled"
    assert verdict(_resigned(told, {"safety": private})) == (1, [why])


def _resigned(told: Told, forged: dict[str, Ed25519PrivateKey]) -> Told:
    """Sign these halves of everything with the forger's keys, enrolled in the names of the signers."""
    keys = {}
    for half, private in forged.items():
        body, public = key_event(told, half)["body"], public_text(private.public_key())
        keys[body["key"]] = private, {"key": key_id(public), "public": public}
    for event in [one for one in told["events"] if one.get("event", {}).get("kind") == "key"]:
        event["body"].update(keys.get(event["body"]["key"], (None, {}))[1])
    digests: dict[int, str] = {}
    for one in [one for one in told["events"] if one.get("event", {}).get("kind") in ("revision", "signature")]:
        body = one["body"]
        if one["event"]["kind"] == "revision":
            anchored(told, body, seq(one))
            digests[body["number"]] = basis.hash_of(body)
            continue
        body["statement"]["revision"] = digests[body["number"]]
        anchored(told, body["statement"], seq(one))
        if body["key"] in keys:
            private, names = keys[body["key"]]
            body["statement"]["key"] = names["key"]
            body.update(names, signature=sign(private, body["statement"]))
    rebuilt(told)
    return mirrored(told)


def test_who_builds_all_of_it_anew_under_keys_of_his_own_is_told_by_the_names_of_the_keys_alone(told: Told) -> None:
    """No file can show whose a key is; verify says so, and prints the name of each key for comparison."""
    genuine = [key_event(told, half)["body"]["key"] for half in ("safety", "security")]
    forged = {half: Ed25519PrivateKey.generate() for half in ("safety", "security")}
    status, lines = verdict(_resigned(told, forged))
    assert status == 0, lines
    assert not any(key in line for key in genuine for line in lines)
    assert lines[-1] == LIMITS
    assert LIMITS.startswith("not shown by any file: that a key belongs to the person named beside it")


def test_a_withdrawal_cannot_be_undone_by_enrolling_the_key_again(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    told = json.loads(team.export())
    told["events"].insert(len(told["events"]) - 1, deepcopy(key_event(told, "safety")))
    status, lines = verdict(rebuilt(told))
    assert status == 0
    assert any("does not count: the key was withdrawn" in line for line in lines)


def test_a_withdrawal_that_was_sealed_is_found_by_the_count_of_the_export(story: Team, tmp_path: Any) -> None:
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    told = json.loads(team.export())
    sealed(told, of_kind(told, "key-withdrawn"))
    status, (line,) = verdict(told)
    assert (status, line.endswith("some were sealed since")) == (1, True)


def test_a_withdrawal_sealed_or_left_out_with_a_new_end_shows_in_the_last_hash_alone(
    story: Team, tmp_path: Any
) -> None:
    """Nothing is signed after the last signature: only the hash that the database gives for that event tells."""
    team = story.copy(tmp_path / "answers.sqlite3")
    team.withdraw("safety", 0)
    told = json.loads(team.export())
    head = told["head"]
    sealed(told, of_kind(told, "key-withdrawn"))
    status, lines = verdict(rebuilt(told))
    assert status == 0
    assert head not in lines[0]
    assert "the contents of sealed events, and what was recorded after the export" in lines[-1]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda told: of_kind(told, "answer")["body"].clear(),
        lambda told: of_kind(told, "revision")["body"].clear(),
        lambda told: of_kind(told, "revision")["body"].update(facts=5),
        lambda told: of_kind(told, "revision")["body"].update(journal={"events": "1", "head": None}),
        lambda told: of_kind(told, "revision")["body"].update(journal={"events": 0, "head": told["head"]}),
        lambda told: of_kind(told, "signature")["body"].update(number=99),
        lambda told: of_kind(told, "signature")["body"].update(statement={}),
        lambda told: of_kind(told, "signature")["body"].update(statement=None, half=5),
        lambda told: of_kind(told, "key")["body"].update(roles=None),
        lambda told: of_kind(told, "key")["body"].update(public="ü", name=7),
        lambda told: of_kind(told, "dissent-closed")["body"].update(who=["TM-2"]),
        lambda told: of_kind(told, "evidence")["body"].update(of=["plant"], strength={}),
        lambda told: of_kind(told, "export")["body"].update(shown="all", system=None),
        lambda told: of_kind(told, "gap-accepted")["body"].pop("zone"),
        lambda told: told["events"].clear(),
        lambda told: told["events"].__delitem__(slice(0, -1)),
    ],
)  # fmt: skip
def test_events_that_this_program_never_writes_are_told_in_one_line(told: Told, spoil: Callable[[Told], Any]) -> None:
    spoil(told)
    if told["events"]:
        rebuilt(told)
    for forged in (told, {**told, "revision": of_kind(told, "revision")["body"]} if len(told["events"]) > 1 else told):
        status, lines = verdict(forged)
        assert (status, len(lines)) == (1, 1)


def unsigned(team: Team) -> Told:
    team.put_up("S50")
    held: Told = json.loads(team.export(team.latest("S50")))
    return held


@pytest.mark.parametrize(("factor", "status"), [(1 + 1e-15, 0), (1 - 1e-13, 0), (1 + 1e-8, 1), (0.5, 1), (-1, 1)])
def test_figures_that_do_not_follow_from_the_facts_are_found_but_for_the_last_digit(
    team: Team, factor: float, status: int
) -> None:
    told = unsigned(team)
    body = of_kind(told, "revision")["body"]
    body["results"]["functions"]["SIF-501"]["pfd"]["adjusted"] *= factor
    found, lines = verdict(rebuilt({**told, "revision": body}))
    assert found == status
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
def test_facts_that_cannot_be_computed_are_told_in_one_line(team: Team, spoil: Callable[[Told], Any]) -> None:
    told = unsigned(team)
    body = of_kind(told, "revision")["body"]
    spoil(body["facts"])
    status, lines = verdict(rebuilt({**told, "revision": body}))
    assert (status, len(lines)) == (1, 1), lines
