"""Answers and plant data as events hold them, and the version of a journal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from checks.journal.event import Event
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Asked, Plant

ANSWER, DATA = "answer", "plant-data"


@dataclass(frozen=True, slots=True)
class Stored:
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


@dataclass(frozen=True, slots=True)
class Version:
    """Number of the latest plant data, of the latest answer and of the latest event; all only ever grow."""

    data: int
    answers: int
    last: int


def as_stored(event: Event) -> Stored:
    """The answer of an answer event."""
    # Written by save or import_plant from a checked Answer: no need to check each again.
    answer = Answer.model_construct(**event.content)
    return Stored(event.seq, event.follows, answer, event.at, event.writer)


def plant_of(event: Event) -> Plant:
    """The plant of an event that holds plant data."""
    return plant_file.from_text(f"event {event.seq}", event.content["text"])
