"""The typed body of an event: its fields, and what the program needs to know about its kind.

Each kind is one module below ``checks/events`` with a class ``Body``. A body that was read is written with the same bytes:
``data`` leaves out fields that were not set, so that a new optional field changes no event of an earlier release.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Collection, Container
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict

from checks.journal.event import Event
from checks.plantfile.plant import Asked


class EventBody(BaseModel):
    """The body of an event of one kind. Fields added by a later release are ignored."""

    model_config = ConfigDict(
        frozen=True, strict=True, extra="ignore", populate_by_name=True, ser_json_inf_nan="constants"
    )

    KIND: ClassVar[str]
    """Name of the kind in the journal."""
    PERMISSION: ClassVar[str]
    """The permission it takes: a key of ``roles.MAY``. Empty where the caller chooses and checks it."""
    TAKES_PART: ClassVar[bool] = False
    """Whether its author takes part in the assessment, and therefore cannot sign."""
    DID: ClassVar[str] = ""
    """What the author did, as reports print it; empty where reports name nobody."""
    NAMED_DID: ClassVar[str] = ""
    """What the people did whom it names besides its author; empty where it is what the author did."""
    SEALED: ClassVar[bool] = False
    """Whether record files never show it."""
    CARRIES: ClassVar[tuple[str, ...]] = ()
    """Fields with what is recorded elsewhere or bounded by its own rules; every other text is short (``text_bounds``)."""

    @classmethod
    def read(cls, event: Event) -> Self:
        """The body of an event; raises ValueError where the fields do not match."""
        return cls.model_validate_json(event.body)

    def data(self) -> dict[str, Any]:
        """The body as JSON data, as stored in the journal."""
        return self.model_dump(mode="json", by_alias=True, exclude_unset=True)

    @abstractmethod
    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it concerns a safety system to which these addressees belong."""

    def shown_to(self, system: str, addressees: Container[str]) -> bool:
        """Whether the record file of a system shows it; otherwise the file holds its digest only."""
        return not self.SEALED and self.concerns(system, addressees)

    def invalidates(self) -> str:
        """Why it invalidates the revisions of the systems it concerns, in words; empty where it does not."""
        return ""

    def names(self) -> tuple[str, ...]:
        """People it names besides its author."""
        return ()

    def entered_names(self) -> tuple[tuple[str, str], ...]:
        """Names of people that were typed for it, each with its field; those of earlier events are none."""
        return ()


class AnswerEvent(EventBody):
    """An event about the answer to one question of one addressee."""

    CHANGES_ANSWER: ClassVar[bool] = False
    """Whether it may change the effective answer."""

    question: str
    of: str

    @property
    def asked(self) -> Asked:
        """The question and its addressee."""
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
        """The question and its addressee."""
        return self.question, self.of


def named(answers: Collection[Asked]) -> tuple[NamedAnswer, ...]:
    """Answers in the form a body lists them, in the given order."""
    return tuple(NamedAnswer(question=question, of=of) for question, of in answers)
