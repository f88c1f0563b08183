"""An answer is taken back by its author: what stood before stands again."""

from __future__ import annotations

from checks.events.answering.answer import StoredAnswer
from checks.journal.event import Event
from checks.journal.event_body import AnswerEvent
from checks.plantfile.plant import Answer


class Body(AnswerEvent):
    """``answer`` is the number of the event taken back, ``given`` that of the answer that stands again, 0 for none.

    The other fields are those of the answer that stands again, with the time ``at`` when it was given.
    """

    KIND = "answer-taken-back"
    PERMISSION = "answer a question"
    TAKES_PART = True
    DID = "took an answer back"
    CHANGES_ANSWER = True
    CARRIES = ("evidence", "note")

    answer: int
    given: int = 0
    value: str = ""
    evidence: str = ""
    note: str = ""
    by: str = ""
    on: str = ""
    at: str = ""

    def invalidates(self) -> str:
        """Why a revision based on the answer is invalid, in words."""
        return f"the answer to {self.question} of {self.of} was taken back"

    def names(self) -> tuple[str, ...]:
        """The author of the answer that stands again."""
        return (self.by,) if self.by else ()

    def restored(self) -> Answer | None:
        """The answer that stands again; None where none stood before."""
        if not self.given:
            return None
        fields = {name: getattr(self, name) for name in Answer.model_fields}
        return Answer.model_construct(**fields)  # it was validated before it was recorded


def stored(event: Event) -> StoredAnswer | None:
    """The answer that stands again after an event, under the number of this event; None where none stood before."""
    body = Body.read(event)
    restored = body.restored()
    if restored is None:
        return None
    return StoredAnswer(event.seq, event.follows, restored, body.at, "", given=body.given)
