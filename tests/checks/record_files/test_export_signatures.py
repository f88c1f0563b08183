"""What holds the end of a record: nothing but its export, until the export is signed."""

from __future__ import annotations

import json
import shutil
import subprocess
from base64 import b64decode
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.__main__ import main
from checks.access.roles import FACILITATOR
from checks.record_files import commands, exports
from checks.signoff import signatures
from checks.signoff.keys import enrol, withdraw
from checks.text.canonical import canonical
from checks.text.faults import Refused
from tests.checks.record_files.handed import Data, of_kind, rebuilt, verdict
from tests.checks.team import OWNS, PHRASE, Team, ahead


@pytest.fixture(scope="module")
def lead() -> tuple[signatures.NewKey, Ed25519PrivateKey]:
    """The key of the facilitator, as a file and opened."""
    created = signatures.make(PHRASE)
    return created, signatures.unlock(created.file, PHRASE)


Lead = tuple[signatures.NewKey, Ed25519PrivateKey]


def enrolled(team: Team, lead: Lead) -> None:
    """Enrol the facilitator's key."""
    enrol(team.live, OWNS, public=lead[0].public, name="FA-1", roles=[FACILITATOR])


def voided(team: Team, lead: Lead) -> Data:
    """The record of a signed revision that an answer invalidated, its export signed by the facilitator."""
    enrolled(team, lead)
    revision = team.signed()
    team.say("SEP1", "group:pt-301", "partly", evidence="walk-down 19")
    data: Data = json.loads(exports.export(team.live, OWNS, revision, private=lead[1]))
    return data


def held(lines: list[str]) -> str:
    """The line on what holds the record."""
    (line,) = (line for line in lines if "held by" in line)
    return line


def without_the_answer(data: Data) -> Data:
    """The same record with the event cut away that invalidated its revision."""
    voiding = of_kind(data, "answer")
    assert voiding["body"]["evidence"] == "walk-down 19"
    data["events"].remove(voiding)
    return rebuilt(data)


def test_a_signed_export_holds_the_whole_record_and_names_its_signer(team: Team, lead: Lead) -> None:
    status, lines = verdict(voided(team, lead))
    assert status == 0, lines
    assert held(lines) == f"the whole record is held by the signature of FA-1 (key {lead[0].id})"
    assert any(line.startswith("void: ") for line in lines)


def test_an_unsigned_export_lets_the_voiding_event_be_cut_away_and_verify_says_up_to_where_it_is_held(
    team: Team, lead: Lead
) -> None:
    data = voided(team, lead)
    del data["export_signature"]
    status, lines = verdict(data)
    covered = team.latest().signatures["security"].statement["journal"]["events"]
    assert (status, held(lines)) == (0, f"held by a signature up to event {covered}; after that only by the export")
    assert seq_of_voiding(data) > covered
    status, lines = verdict(without_the_answer(data))
    assert status == 0
    assert not any(line.startswith("void: ") for line in lines), "this is why the sentence is printed"
    assert held(lines) == f"held by a signature up to event {covered}; after that only by the export"


def seq_of_voiding(data: Data) -> int:
    """Number of the event that invalidated the revision."""
    number: int = of_kind(data, "answer")["event"]["seq"]
    return number


def test_from_a_signed_export_nothing_can_be_cut_away(team: Team, lead: Lead) -> None:
    data = voided(team, lead)
    status, (why,) = verdict(without_the_answer(deepcopy(data)))
    assert status == 1
    assert why == "the signature of the export belongs to another record, or events were cut off or added"


def _another_key(data: Data) -> None:
    private = Ed25519PrivateKey.generate()
    block = data["export_signature"]
    block["key"] = signatures.public_text(private.public_key())
    block["statement"]["key"] = signatures.key_id(block["key"])
    block["signature"] = signatures.sign(private, block["statement"])


def _half_signature(data: Data) -> None:
    data["export_signature"] = {name: data["signatures"][0][name] for name in ("key", "signature", "statement")}


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (_another_key, "the export was signed with a key that was not enrolled"),
        (_half_signature, "belongs to another record"),
        (lambda data: data["export_signature"]["statement"].update(number=7), "belongs to another record"),
        (lambda data: data["export_signature"]["statement"].update(more=1), "belongs to another record"),
        (lambda data: data["export_signature"].update(signature=data["signatures"][0]["signature"]), "is not valid"),
        (lambda data: data["export_signature"].update(key="AAAA"), "with a key that was not enrolled"),
        (lambda data: data["export_signature"].update(key="A"), "this program never writes this form"),
    ],
)
def test_another_signature_of_an_export_is_found(
    team: Team, lead: Lead, change: Callable[[Data], None], why: str
) -> None:
    data = voided(team, lead)
    change(data)
    status, (line,) = verdict(data)
    assert (status, why in line) == (1, True), line


def test_only_an_enrolled_key_that_was_not_withdrawn_signs_an_export_and_else_nothing_is_recorded(
    team: Team, lead: Lead
) -> None:
    revision = team.put_up()
    before = team.count()
    with pytest.raises(Refused, match="not enrolled; the asset owner must enrol its public line first"):
        exports.export(team.live, OWNS, revision, private=lead[1])
    assert team.count() == before
    enrolled(team, lead)
    withdraw(team.live, OWNS, key=lead[0].id, from_day=ahead(0), reason="lost")
    before = team.count()
    with pytest.raises(Refused, match=rf"withdrawn from {ahead(0)} on \(lost\)"):
        exports.export(team.live, OWNS, revision, private=lead[1])
    assert team.count() == before


def test_a_key_withdrawn_before_the_export_holds_no_record(team: Team, lead: Lead) -> None:
    """The program signs with no such key, but its holder could."""
    enrolled(team, lead)
    revision = team.put_up()
    withdraw(team.live, OWNS, key=lead[0].id, from_day=ahead(1), reason="lost")
    data = json.loads(exports.export(team.live, OWNS, revision, private=lead[1]))
    assert verdict(data)[0] == 0
    of_kind(data, "key-withdrawn")["body"]["from"] = "2020-01-01"
    rebuilt(data)
    statement = {**data["export_signature"]["statement"], "head": data["head"]}
    data["export_signature"].update(statement=statement, signature=signatures.sign(lead[1], statement))
    status, (why,) = verdict(data)
    assert (status, why) == (1, "the export was signed with a key that was withdrawn from 2020-01-01 on")


def test_a_record_that_nobody_signed_says_so(team: Team) -> None:
    team.put_up()
    assert held(verdict(team.export())[1]) == "held by no signature, only by the export"


def test_a_signature_of_a_key_withdrawn_since_holds_nothing(team: Team) -> None:
    team.signed()
    team.withdraw("security", 0)
    safety = team.latest().signatures["safety"].statement["journal"]["events"]
    assert held(verdict(team.export())[1]).startswith(f"held by a signature up to event {safety}; ")


def test_the_command_asks_for_the_passphrase_and_signs(
    team: Team,
    lead: Lead,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    enrolled(team, lead)
    team.put_up()
    before, file, key = team.count(), tmp_path / "record.json", tmp_path / "key.pem"
    key.write_bytes(lead[0].file)
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")
    asked: list[str] = []

    def typed(phrase: str) -> Callable[[str], str]:
        def ask(prompt: str) -> str:
            asked.append(prompt)
            return phrase

        return ask

    monkeypatch.setattr(commands, "getpass", typed("another phrase"))
    export = ["export", "S30", "--key", str(key), "-o", str(file)]
    assert main(export) == 2
    assert "the passphrase does not open this file" in capsys.readouterr().err
    assert (file.exists(), team.count()) == (False, before)
    monkeypatch.setattr(commands, "getpass", typed(PHRASE))
    assert main(export) == 0
    assert asked == ["Passphrase of key.pem: "] * 2
    capsys.readouterr()
    assert main(["verify", str(file)]) == 0
    assert f"held by the signature of FA-1 (key {lead[0].id})" in capsys.readouterr().out


def test_an_export_never_writes_over_the_key_or_the_database_that_it_reads(
    team: Team, lead: Lead, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    enrolled(team, lead)
    team.put_up()
    before, key = team.count(), tmp_path / "key.pem"
    key.write_bytes(lead[0].file)
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")
    monkeypatch.setattr(commands, "getpass", lambda _prompt: PHRASE)
    for output in (key, team.path):
        assert main(["export", "S30", "--key", str(key), "-o", str(output)]) == 2
        why = f"{output}: (file): this is an input of the command; name another file to write\n"
        assert capsys.readouterr().err == why
    assert key.read_bytes() == lead[0].file
    assert team.count() == before


def test_a_passphrase_that_nobody_can_type_is_said_to_be_missing(
    team: Team, lead: Lead, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    team.put_up()
    (tmp_path / "key.pem").write_bytes(lead[0].file)
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{team.path}")

    def nobody(_prompt: str) -> str:
        raise EOFError

    monkeypatch.setattr(commands, "getpass", nobody)
    assert main(["export", "S30", "--key", str(tmp_path / "key.pem"), "-o", str(tmp_path / "record.json")]) == 2
    assert capsys.readouterr().err == "no passphrase was given; type it when it is asked for\n"


def test_openssl_verifies_the_signature_of_an_export(team: Team, lead: Lead, tmp_path: Path) -> None:
    data = voided(team, lead)
    block = data["export_signature"]
    for name, content in (
        ("key", b64decode(block["key"])),
        ("signature", b64decode(block["signature"])),
        ("statement", canonical(block["statement"])),
    ):
        (tmp_path / name).write_bytes(content)
    openssl = shutil.which("openssl")
    assert openssl is not None
    command = [openssl, "pkeyutl", "-verify", "-pubin", "-keyform", "DER", "-inkey", "key", "-rawin"]
    done = subprocess.run(  # noqa: S603
        [*command, "-in", "statement", "-sigfile", "signature"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout == "Signature Verified Successfully\n"
    assert block["statement"]["head"] == data["head"]
