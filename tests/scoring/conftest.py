"""Property tests run without a time limit per example, so that a slow machine fails nothing."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("project", deadline=None)
settings.load_profile("project")
