"""Property tests run without a time limit per example, and as slowly as a busy machine must, so that neither fails them.

In CI they draw the same examples every time and report the first that fails as it is: making it smaller can take an hour.

Key files of tests cost little to open; one test takes the real cost.

Garbage in cycles is looked for seldom: a process holds what thousands of tests left, and to walk through it took an eighth of
their time.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, Phase, settings

from checks.signoff import key_files

settings.register_profile("project", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile(
    "ci", settings.get_profile("project"), derandomize=True, phases=[Phase.explicit, Phase.generate]
)
settings.load_profile("ci" if "SHARED_CAUSE_CI" in os.environ else "project")

gc.set_threshold(20_000, 10, 10)

QUICK = 2_048
"""Iterations for the key files of tests."""


@pytest.fixture(scope="session", autouse=True)
def _quick_key_files() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(key_files, "ITERATIONS", QUICK)
        yield
