"""Property tests run without a time limit per example, and as slowly as a busy machine must, so that neither fails them.

Key files of tests cost little to open; one test takes the real cost.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from checks.signoff import key_files

settings.register_profile("project", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("project")

QUICK = 2_048
"""Iterations for the key files of tests."""


@pytest.fixture(scope="session", autouse=True)
def _quick_key_files() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(key_files, "ITERATIONS", QUICK)
        yield
