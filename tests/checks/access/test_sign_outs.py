"""Sign-ins that were ended: known after a restart, private, and forgotten when their token has run out."""

from __future__ import annotations

import stat
from pathlib import Path

from checks.access.sign_outs import SignOuts

NOW = 1_800_000_000.0


def test_what_was_ended_is_known_after_a_restart_until_its_token_runs_out(tmp_path: Path) -> None:
    file = tmp_path / "new folder" / "sign-outs"
    first = SignOuts(file, now=NOW)
    first.add("https://login.example.org s-1 n-1", NOW + 600.5)
    first.add("https://login.example.org s-1 n-1", NOW + 600.5)
    first.add("another", NOW + 10)
    again = SignOuts(file, now=NOW + 599)
    assert "https://login.example.org s-1 n-1" in again
    assert "another" not in again
    assert "https://login.example.org s-1 n-2" not in again
    assert len(file.read_text().splitlines()) == 1
    assert "https://login.example.org s-1 n-1" in SignOuts(file, now=NOW + 600.4), "its token still counts then"
    assert "https://login.example.org s-1 n-1" not in SignOuts(file, now=NOW + 602)


def test_the_file_is_private_and_names_nobody(tmp_path: Path) -> None:
    file = tmp_path / "folder" / "sign-outs"
    kept = SignOuts(file, now=NOW)
    kept.add("https://login.example.org s-1 n-1", NOW + 600)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert "s-1" not in file.read_text()


def test_a_line_cut_short_by_a_crash_takes_no_other_with_it(tmp_path: Path) -> None:
    file = tmp_path / "sign-outs"
    SignOuts(file, now=NOW).add("first", NOW + 600)
    with file.open("a") as broken:
        broken.write("1800000600 0123abc")
    again = SignOuts(file, now=NOW)
    again.add("second", NOW + 600)
    last = SignOuts(file, now=NOW)
    assert "first" in last
    assert "second" in last
