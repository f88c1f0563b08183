"""The journal and the signatures of the demo verify, and its keys can be used."""

from __future__ import annotations

from base64 import b64decode
from pathlib import Path

import pytest

from checks.access.roles import ASSESSOR, OWNER, REVIEWER, Person
from checks.journal.store import Store
from checks.record_files import exports, verification
from checks.signoff import revisions, sign_off, signatures
from checks.signoff.sign_off import NotSigned
from checks.state.revision_status import SIGNED
from checks.text.canonical import canonical
from demo import replay
from tests.checks.signoff.test_signatures import openssl
from tests.checks.team import full_terms
from tests.demo.conftest import on

TODAY = "2026-11-25"


def test_the_journal_and_every_signature_in_it_hold(store: Store) -> None:
    line, held = verification.verify_store(store)
    assert line.startswith("Quillmarch Works: ")
    assert held.startswith("Quillmarch Works: held by a signature up to event ")


def test_events_are_in_order_and_on_their_days(store: Store) -> None:
    moments = [event.at for event in store.events(1)]
    assert moments == sorted(moments)
    assert (moments[0][:10], moments[-1][:10]) == ("2021-03-01", "2026-07-13")


def test_every_revision_that_was_signed_verifies_as_a_record_file(copied: Store, tmp_path: Path) -> None:
    live = on(copied, TODAY)
    signed = [
        revision
        for of_system in live.state().records.revisions.values()
        for revision in of_system
        if revision.signatures
    ]
    assert len(signed) == 15
    for revision in signed[::2]:
        path = tmp_path / f"{revision.system}-{revision.number}.json"
        path.write_text(exports.export(live, Person("AO-1", frozenset({OWNER})), revision), encoding="utf-8")
        lines = list(verification.verify_file(path))
        assert "figures: fits; computed again from the facts, no difference" in lines
        assert sum(": signed by " in line for line in lines) == len(revision.signatures)


def test_openssl_verifies_a_signature_of_the_demo_with_its_key_file(store: Store, tmp_path: Path) -> None:
    signature = on(store, TODAY).state().records.revisions["S30"][3].signatures["security"]
    (tmp_path / "statement").write_bytes(canonical(dict(signature.statement)))
    (tmp_path / "signature").write_bytes(b64decode(signature.signature))
    key = replay.KEYS / "security-reviewer.pem"
    asked = ("pkeyutl", "-verify", "-inkey", key, "-passin", f"pass:{replay.PASSPHRASE}", "-rawin")
    completed = openssl(*asked, "-in", tmp_path / "statement", "-sigfile", tmp_path / "signature")
    assert completed.returncode == 0, completed.stderr


def test_a_new_user_can_sign_the_missing_half_with_the_demo_key(copied: Store) -> None:
    live = on(copied, TODAY)
    revision = live.state().records.revisions["S50"][3]
    private = signatures.unlock((replay.KEYS / "security-reviewer.pem").read_bytes(), replay.PASSPHRASE)
    person = Person("Security Reviewer SR-2", frozenset({REVIEWER}))
    sign_off.sign(
        live, person, revision, private, half="security", terms=full_terms(live, revision, "security", person.name)
    )
    standing = revisions.system_standing(live.state(), "S50")
    assert (standing.words, standing.why) == (SIGNED, "revision 3: both halves")


def test_a_withdrawn_key_signs_nothing_and_its_earlier_signatures_count(copied: Store) -> None:
    live = on(copied, TODAY)
    first, latest = (live.state().records.revisions["S50"][number] for number in (1, 3))
    assert "safety" in live.state().records.counting(first)
    private = signatures.unlock((replay.KEYS / "independent-assessor-until-2024.pem").read_bytes(), replay.PASSPHRASE)
    person = Person("independent assessor IA-1", frozenset({ASSESSOR}))
    with pytest.raises(NotSigned, match="withdrawn from 2024-01-15"):
        sign_off.sign(
            live, person, latest, private, half="safety", terms=full_terms(live, latest, "safety", person.name)
        )


def test_the_readme_of_the_keys_lists_every_key_file_and_the_passphrase() -> None:
    readme = (replay.KEYS / "README.txt").read_text(encoding="utf-8")
    assert {path.name for path in replay.KEYS.glob("*.pem")} == {
        word for word in readme.split() if word.endswith(".pem")
    }
    assert replay.PASSPHRASE in readme
    assert "protect nothing" in readme
    assert "not for use" in readme
