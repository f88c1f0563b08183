"""An answer to one question of one addressee."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from checks.journal.event import Event
from checks.journal.event_body import AnswerEvent
from checks.plantfile.plant import Answer, Asked


class Body(AnswerEvent):
    """An answer. ``by`` gave it on day ``on``; an imported one has another author than its event."""

    KIND = "answer"
    PERMISSION = "answer a question"
    TAKES_PART = True
    DID = "answered"
    CHANGES_ANSWER = True

    value: str
    evidence: str = ""
    note: str = ""
    by: str = ""
    on: str = ""

    def replaces(self, before: Body | None) -> str:
        """In words why it invalidates what rested on the answer before it; another author or day alone does not."""
        if before is not None and same_answer(self, before):
            return ""
        return f"{self.question} of {self.of} was answered {self.value}"

    def names(self) -> tuple[str, ...]:
        """Who gave the answer."""
        return (self.by,)


def same_answer(one: Body | Answer, other: Body | Answer) -> bool:
    """Whether two answers are the same in value, evidence and note: what counts in a result or for a reviewer."""
    return (one.value, one.evidence, one.note) == (other.value, other.evidence, other.note)


@dataclass(frozen=True, slots=True)
class StoredAnswer:
    """An answer as it was stored: number of its event, the one it follows, when, and by which browser session."""

    id: int
    follows: int
    answer: Answer
    at: str
    writer: str

    @property
    def asked(self) -> Asked:
        """The question, and of whom it was answered."""
        return self.answer.question, self.answer.of

    @property
    def day(self) -> date:
        """The date on which it was stored, UTC."""
        return date.fromisoformat(self.at[:10])


def stored(event: Event) -> StoredAnswer:
    """The answer of an answer event."""
    # Its author's answer was checked before it was recorded: no need to check each again.
    return StoredAnswer(event.seq, event.follows, Answer.model_construct(**event.content), event.at, event.writer)


def slot(question: str, of: str) -> str:
    """The slot of the journal in which each answer follows the one before."""
    return f"{Body.KIND} {of} {question}"
