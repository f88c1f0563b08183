"""A record file checked without this program: sed, base64, sha256 and openssl, with the commands of the README."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from checks.record_files import exports
from checks.revision import basis
from tests.checks.team import OWNS, Team

SHELL = r"""
set -e
sed -n 's/^"revision": \(.*\),$/\1/p' record.json | tr -d '\n' | openssl dgst -sha256 -r | cut -c 1-64 > revision.sha256
cut_out() { sed -n "/^{\"half\": \"$1\"/,/^}/p" record.json | sed -n "s/^\"$2\": \(.*\)/\1/p" | tail -n 1; }
for half in safety security; do
  cut_out $half key | tr -d '",\n' | base64 -d > $half.key
  cut_out $half signature | tr -d '",\n' | base64 -d > $half.signature
  cut_out $half statement | tr -d '\n' > $half.statement
  grep -q "\"revision\":\"$(cat revision.sha256)\"" $half.statement
  openssl pkeyutl -verify -pubin -keyform DER -inkey $half.key -rawin -in $half.statement -sigfile $half.signature
done
"""


def run(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the lines of the README in a folder that holds ``record.json``."""
    shell = shutil.which("sh")
    assert shell is not None
    assert shutil.which("openssl") is not None, "openssl is missing: apt-get install openssl"
    return subprocess.run([shell, "-c", SHELL], cwd=folder, capture_output=True, text=True, check=False, timeout=60)  # noqa: S603


def test_openssl_verifies_both_signatures_and_the_hash_of_the_revision(
    story_text: str, story: Team, tmp_path: Path
) -> None:
    (tmp_path / "record.json").write_text(story_text, encoding="utf-8")
    done = run(tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() == ["Signature Verified Successfully"] * 2
    assert (tmp_path / "revision.sha256").read_text().strip() == story.latest().hash


def test_letters_beyond_ascii_are_signed_as_they_stand(team: Team, tmp_path: Path) -> None:
    team.say("SEP4", "group:pt-301", "partly", note="Ventilblock, Höhe ±0 — 阀门 \U0001f527")
    revision = team.put_up()
    for half in ("safety", "security"):
        team.sign(half, revision, independence="I took no part: não participei, 未参加.")
    (tmp_path / "record.json").write_text(team.export(), encoding="utf-8")
    assert run(tmp_path).stdout.splitlines() == ["Signature Verified Successfully"] * 2
    assert (tmp_path / "revision.sha256").read_text().strip() == revision.hash


def test_of_a_half_that_was_signed_again_the_last_signature_is_taken(team: Team, tmp_path: Path) -> None:
    team.signed()
    team.withdraw("safety", 0)
    team.keys["safety"] = team.enrol("safety")
    team.sign("safety")
    (tmp_path / "record.json").write_text(team.export(), encoding="utf-8")
    assert run(tmp_path).stdout.splitlines() == ["Signature Verified Successfully"] * 2
    assert team.key_of("safety") in (tmp_path / "safety.statement").read_text(encoding="utf-8")


def test_the_lines_work_on_a_signed_export_too(team: Team, tmp_path: Path) -> None:
    revision = team.signed()
    text = exports.export(team.live, OWNS, revision, private=team.keys["safety"])
    (tmp_path / "record.json").write_text(text, encoding="utf-8")
    assert run(tmp_path).stdout.splitlines() == ["Signature Verified Successfully"] * 2


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Twelve years in this work", "Thirty years in this work"),
        ('"lambda_du_fit":450', '"lambda_du_fit":45'),
        ('"half":"safety"', '"half":"security"'),
    ],
)
def test_openssl_finds_what_was_changed(story_text: str, tmp_path: Path, old: str, new: str) -> None:
    start = story_text.index('"revision": ') if "lambda" in old else story_text.index('"signatures": ')
    changed = story_text[:start] + story_text[start:].replace(old, new, 1)
    assert changed != story_text
    (tmp_path / "record.json").write_text(changed, encoding="utf-8")
    done = run(tmp_path)
    assert done.returncode != 0
    assert done.stdout.count("Verified Successfully") == 0


def test_the_hash_that_is_printed_is_that_of_rfc_8785(story_text: str, story: Team) -> None:
    (line,) = (text_line for text_line in story_text.splitlines() if text_line.startswith('"revision": '))
    revision_text = line.removeprefix('"revision": ').removesuffix(",")
    assert basis.hash_of(json.loads(revision_text)) == story.latest().hash
