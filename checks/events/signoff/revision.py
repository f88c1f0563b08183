"""A revision: a fixed state of one system's assessment, submitted for review."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict

from checks.journal.event_body import NamedAnswer, SystemEvent


class JournalAt(BaseModel):
    """Number of events the author had seen, and the hash of the journal after the last of them."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    events: int
    head: str


class Body(SystemEvent):
    """Contents of a revision: facts and results in form ``format`` (see ``revision.basis``), and the records beside them.

    ``carried`` lists answers neither given nor confirmed since the last signed revision.
    """

    KIND = "revision"
    PERMISSION = "submit for review"
    TAKES_PART = True
    DID = "submitted a revision for review"
    CARRIES = ("facts", "results", "evidence", "dissents", "attended")

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
