"""Property tests run without a time limit per example, and as slowly as a busy machine must, so that neither fails them."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("project", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("project")
