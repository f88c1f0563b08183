"""An answer to one question for one addressee."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from checks.journal.event import Event
from checks.journal.event_body import AnswerEvent
from checks.plantfile.plant import Answer, Asked


class Body(AnswerEvent):
    """An answer, given by ``by`` on day ``on``; the author of an imported answer differs from that of its event."""

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
        """Why it invalidates revisions based on the previous answer, in words; empty where only author or day differ."""
        if before is not None and same_answer(self, before):
            return ""
        return f"{self.question} of {self.of} was answered {self.value}"

    def names(self) -> tuple[str, ...]:
        """The author of the answer."""
        return (self.by,)

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """The author of the answer."""
        return ((f"answer to {self.question} of {self.of}, by", self.by),)


def same_answer(answer: Body | Answer, other: Body | Answer) -> bool:
    """Whether two answers have the same value, evidence and note, the parts that matter to results and reviewers."""
    return (answer.value, answer.evidence, answer.note) == (other.value, other.evidence, other.note)


@dataclass(frozen=True, slots=True)
class StoredAnswer:
    """A stored answer: its event number, the event it follows, time (UTC), and browser session.

    ``given`` is the number of the event that gave it: another one than ``id`` where it stands again after a later answer
    was taken back. ``recorded_by`` is the author of the event, who differs from that of an imported answer.
    """

    id: int
    follows: int
    answer: Answer
    at: str
    writer: str
    given: int
    recorded_by: str = ""

    @property
    def asked(self) -> Asked:
        """The question and its addressee."""
        return self.answer.question, self.answer.of

    @property
    def day(self) -> date:
        """The date on which it was stored, UTC."""
        return date.fromisoformat(self.at[:10])

    @property
    def given_on(self) -> str:
        """The day on which it was given: its own, else that on which it was stored."""
        return self.answer.on or self.at[:10]


def stored(event: Event) -> StoredAnswer:
    """The answer of an answer event."""
    # It was validated before it was recorded; the fields of an ``Answer`` are not validated once more here.
    typed = Answer.model_construct(**event.content)
    return StoredAnswer(event.seq, event.follows, typed, event.at, event.writer, event.seq, event.by)


def slot(question: str, of: str) -> str:
    """The journal slot of an answer: each answer there follows the previous one."""
    return f"{Body.KIND} {of} {question}"
