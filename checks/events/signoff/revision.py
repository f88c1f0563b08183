"""A revision: a fixed state of one system's assessment, submitted for review."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict

from checks.journal.event_body import NamedAnswer, SystemEvent


class JournalAt(BaseModel):
    """How many events the author had seen, and the hash of the journal after the last of them."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    events: int
    head: str


class Body(SystemEvent):
    """What a revision fixes: facts and results in the form that ``format`` names (``revision.basis``), and the records beside them.

    ``carried`` lists answers that nobody gave or confirmed since the last signed revision.
    """

    KIND = "revision"
    PERMISSION = "submit for review"
    TAKES_PART = True
    DID = "submitted a revision for review"

    format: int = 1
    plant: str
    number: int
    facts: dict[str, Any]
    results: dict[str, Any]
    evidence: tuple[dict[str, Any], ...]
    dissents: tuple[dict[str, Any], ...]
    attended: tuple[dict[str, Any], ...]
    to_confirm: tuple[NamedAnswer, ...]
    carried: tuple[NamedAnswer, ...]
    journal: JournalAt
