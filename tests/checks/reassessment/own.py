"""Recorded failures of the demo plant as a history, without a journal."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from typing import Any

from checks.assessment.assessment import Assessment
from checks.events.plant.failure import Body
from checks.plantfile.plant import Plant
from checks.reassessment.failure_counts import FailureHistory
from checks.state.reopened import Failed
from checks.state.revision_status import Cause
from tests.checks.reassessment.given import demo

DAY = date(2026, 6, 1)


def failed(group: str = "esv-501", *channels: str, **fields: Any) -> Failed:
    """A failure of these channels at their proof test, with other fields if given."""
    usual: dict[str, Any] = {
        "on": "2024-11-06",
        "reference": "FR-1",
        "groups": (group,),
        "channels": channels or ("ESV-501A",),
        "found_by": "proof-test",
        "is_event": len(channels) > 1,
        "parts": (),
        "asks": (),
        "systems": (),
    }
    return Failed(Body(**{**usual, **fields}), Cause(seq=1, at="2024-11-06T12:00:00Z", by="MT-5", what="a failure"))


def history(
    failures: Sequence[Failed] = (), *, plant: Plant | None = None, groups: Collection[str] | None = None
) -> FailureHistory:
    """A history that shows every group unless some are named."""
    known = plant or demo()
    assessment = Assessment(known)
    return FailureHistory(assessment, tuple(failures), known.groups if groups is None else groups, DAY)


def observed(since: str = "2022-06-01", *keys: str) -> Plant:
    """The demo plant with this start of observation for these groups, else for all; none for the others."""
    plant = demo()
    groups = {
        key: group.model_copy(update={"observed_since": since if not keys or key in keys else ""})
        for key, group in plant.groups.items()
    }
    return plant.model_copy(update={"groups": groups})
