"""The next assessment of a system begins: its answers must be confirmed, or in a blind round given again."""

from __future__ import annotations

from collections.abc import Container

from checks.journal.event_body import NamedAnswer, SystemEvent


class Body(SystemEvent):
    """Assessment ``number``, 1 for the first re-assessment; ``blank`` marks a blind round.

    ``answers`` are to be confirmed, or in a blind round given again; ``to_confirm`` are those of a blind round that other
    systems rest on too.
    """

    KIND = "round"
    PERMISSION = "begin a re-assessment"
    TAKES_PART = True
    DID = "began an assessment"

    number: int
    blank: bool
    answers: tuple[NamedAnswer, ...]
    to_confirm: tuple[NamedAnswer, ...] = ()

    def concerns(self, system: str, addressees: Container[str]) -> bool:
        """Whether it is for this system, or lists an answer that this system depends on too."""
        return self.system == system or any(answer.of in addressees for answer in (*self.answers, *self.to_confirm))

    def shown_to(self, system: str, addressees: Container[str]) -> bool:
        """Only the record of its own system shows it, since it lists answers of that system."""
        return self.system == system
