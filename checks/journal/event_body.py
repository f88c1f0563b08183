"""The typed body of an event: what one kind of event says, and what the program asks of the kind.

Each kind is one module below ``checks/events`` with a class ``Body``. Bodies are written as they are read, byte for byte:
``data`` leaves out every field that was not given, so that an optional field more changes no event of an earlier release.
"""

from __future__ import annotations

from collections.abc import Collection, Container
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict

from checks.journal.event import Event
from checks.plantfile.plant import Asked


class EventBody(BaseModel):
    """What an event of one kind says. Fields that a later release added are ignored."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore", populate_by_name=True)

    KIND: ClassVar[str]
    """The kind, as the journal names it."""
    PERMISSION: ClassVar[str]
    """Who may do it: an entry of ``roles.MAY``. Empty where that depends on what is done, and the caller checks it."""
    TAKES_PART: ClassVar[bool] = False
    """Whether it is a part in the work of an assessment, so that its author cannot sign."""
    DID: ClassVar[str] = ""
    """What a report says that the author did; empty where it names nobody."""
    SEALED: ClassVar[bool] = False
    """Whether a record file shows it to nobody."""

    @classmethod
    def read(cls, event: Event) -> Self:
        """The body of an event; raises ValueError where it is of another form."""
        return cls.model_validate_json(event.body)

    def data(self) -> dict[str, Any]:
        """The body as JSON data, as the journal keeps it."""
        return self.model_dump(mode="json", by_alias=True, exclude_unset=True)

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it concerns a safety system, to which these addressees belong."""
        raise NotImplementedError

    def shown_to(self, system: str, addressees: Container[str]) -> bool:
        """Whether the record file of a system shows it; otherwise it stands there by its digest alone."""
        return not self.SEALED and self.concerns(system, addressees)

    def invalidates(self) -> str:
        """In words why it invalidates the revisions of the systems that it concerns; empty where it does not."""
        return ""

    def names(self) -> tuple[str, ...]:
        """People whom it names beside its author."""
        return ()


class AnswerEvent(EventBody):
    """An event about the answer to one question of one addressee."""

    CHANGES_ANSWER: ClassVar[bool] = False
    """Whether the answer may count for something else afterwards."""

    question: str
    of: str

    @property
    def asked(self) -> Asked:
        """The question, and of whom it is answered."""
        return self.question, self.of

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether the addressee belongs to the system."""
        return self.of in addressees


class SystemEvent(EventBody):
    """An event about one safety system."""

    system: str

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it is this system."""
        return self.system == system


class NamedAnswer(BaseModel):
    """An answer in a list: its question and addressee."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    question: str
    of: str

    @property
    def asked(self) -> Asked:
        """The question, and of whom it is answered."""
        return self.question, self.of


def named(answers: Collection[Asked]) -> tuple[NamedAnswer, ...]:
    """Answers as a body lists them, in the order given."""
    return tuple(NamedAnswer(question=question, of=of) for question, of in answers)
