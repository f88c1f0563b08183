"""The next assessment of a system begins: its answers are to be confirmed, or in a blind round given again."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import NamedAnswer, SystemEvent


class Body(SystemEvent):
    """Assessment ``number``, the first re-assessment being 1; ``blank`` says that it is a blind round."""

    KIND = "round"
    PERMISSION = "begin a re-assessment"
    TAKES_PART = True
    DID = "began an assessment"

    number: int
    blank: bool
    answers: tuple[NamedAnswer, ...]

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it is of this system, or takes up an answer that this system rests on too."""
        return self.system == system or any(answer.of in addressees for answer in self.answers)

    def shown_to(self, system: str, addressees: Container[str]) -> bool:
        """Only its own system's record shows it: the list names answers of that system."""
        return self.system == system
