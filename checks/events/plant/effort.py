"""The effort of an action, to rank actions by: what it takes to bring one answer to met."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from checks.journal.event_body import AnswerEvent

LARGEST = 1_000_000.0


class Body(AnswerEvent):
    """An effort in the team's own unit, such as days; None takes the one entered before away. It is no promise and changes no answer."""

    KIND = "effort"
    PERMISSION = "raise or change an action"
    TAKES_PART = True
    DID = "entered the effort of an action"

    effort: Annotated[float, Field(gt=0.0, le=LARGEST, allow_inf_nan=False)] | None
