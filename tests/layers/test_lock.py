"""The lock file that CI installs holds what requirements.txt and .ci/requirements.txt ask for, each with its hash."""

from __future__ import annotations

import re

import pytest
from packaging.requirements import Requirement

from tests.layers.walked import ROOT

LOCKED = dict(
    re.findall(
        r"^([a-z0-9-]+)==(\S+) --hash=sha256:[0-9a-f]{64}$",
        (ROOT / ".ci" / "requirements.lock").read_text(encoding="utf-8"),
        flags=re.MULTILINE,
    )
)


def _asked() -> list[Requirement]:
    files = (ROOT / "requirements.txt", ROOT / ".ci" / "requirements.txt")
    lines = (line.split("#")[0].strip() for file in files for line in file.read_text(encoding="utf-8").splitlines())
    return [Requirement(line) for line in lines if line]


@pytest.mark.parametrize("asked", _asked(), ids=lambda asked: asked.name)
def test_what_is_asked_for_is_locked_at_a_version_that_is_allowed(asked: Requirement) -> None:
    assert LOCKED[re.sub(r"[-_.]+", "-", asked.name).lower()] in asked.specifier


def test_every_line_of_the_lock_has_a_hash() -> None:
    lines = (ROOT / ".ci" / "requirements.lock").read_text(encoding="utf-8").splitlines()
    assert sum("==" in line for line in lines) == len(LOCKED)
