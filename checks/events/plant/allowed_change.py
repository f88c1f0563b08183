"""A change of a group that somebody allows: a test interval, a coverage or a voting, with its effort."""

from __future__ import annotations

from collections.abc import Container
from typing import Annotated

from pydantic import Field, StringConstraints

from checks.allowed_changes.change import GroupChange, What
from checks.events.plant.effort import LARGEST
from checks.journal.event_body import EventBody
from checks.plantfile.fields import Id, Name, Text

Value = Annotated[str, StringConstraints(min_length=1, max_length=40)]


class Body(EventBody):
    """An allowed change, from the value ``was`` at that time; without an effort it is withdrawn. It changes no plant data."""

    KIND = "allowed-change"
    PERMISSION = "raise or change an action"
    TAKES_PART = True
    DID = "allowed a change of tests or voting, or withdrew one"

    group: Id
    change: What
    test: Name = ""
    was: Value
    to: Value
    effort: Annotated[float, Field(gt=0.0, le=LARGEST, allow_inf_nan=False)] | None
    reason: Text = ""

    @property
    def allowed(self) -> GroupChange:
        """The change."""
        return GroupChange(self.group, self.change, self.test, self.to)

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether the group belongs to the system."""
        return self.allowed.of in addressees
