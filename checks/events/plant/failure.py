"""A failure at the plant, and a later record that completes it."""

from __future__ import annotations

from collections.abc import Container
from typing import Literal

from checks.journal.event_body import EventBody

FoundBy = Literal["proof-test", "self-test", "demand", "unwanted-trip", "mode-change", "inspection", "other"]

WHERE_GIVEN = ("channels_at_risk", "shared_weight", "staggered_tests")
"""Fields that are written only where they are given: records without them are those of earlier releases."""


class Body(EventBody):
    """The failure record (for its fields see ``reassessment.failures.FailureRecord``) and its consequences.

    ``is_event`` and ``parts`` are the verdict on a common-cause event, ``asks`` the reasons for the cyber question,
    ``completes`` the number of the event whose record this one completes.
    """

    KIND = "failure"
    PERMISSION = "record a change"
    TAKES_PART = True
    DID = "recorded a failure"
    CARRIES = ("parts", "asks")

    on: str
    reference: str
    groups: tuple[str, ...]
    channels: tuple[str, ...]
    found_by: FoundBy
    others_checked: bool = False
    cause: str = ""
    cause_explained: bool | None = None
    cause_topics: tuple[str, ...] = ()
    period_h: float | None = None
    coupling_named: bool | None = None
    inside_boundary: bool | None = None
    software_involved: bool | None = None
    looked_at: str = ""
    channels_at_risk: int | None = None
    shared_weight: float | None = None
    staggered_tests: bool | None = None
    is_event: bool | None
    parts: tuple[str, ...]
    asks: tuple[str, ...]
    systems: tuple[str, ...]
    completes: int | None = None

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether one of its groups belongs to the system."""
        return system in self.systems
