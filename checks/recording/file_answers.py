"""The answers of a plant file beside the stored ones: which are new, which are newer, which would put a stored one back."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from checks.events.answering.answer import StoredAnswer, same_answer
from checks.plantfile.plant import Answer, Asked
from checks.state.live import State


@dataclass(frozen=True, slots=True)
class Differing:
    """An answer of a file that differs from the stored one."""

    answer: Answer
    stored: StoredAnswer

    @property
    def asked(self) -> Asked:
        """The question and its addressee."""
        return self.stored.asked

    @property
    def newer(self) -> bool:
        """Whether that of the file is of a later day. A file that names no day proves none."""
        return self.answer.on > self.stored.given_on


@dataclass(frozen=True, slots=True)
class FileAnswers:
    """Answers of a file: new, newer than the stored one, and not newer, each differing in value, evidence or note.

    ``again`` are the same as stored, given again on a later day.
    """

    new: tuple[Answer, ...] = ()
    newer: tuple[Differing, ...] = ()
    not_newer: tuple[Differing, ...] = ()
    again: tuple[Differing, ...] = ()

    @property
    def all_differing(self) -> tuple[Differing, ...]:
        """Those that stand beside a stored one."""
        return (*self.newer, *self.not_newer, *self.again)

    def taken(self, ticked: Mapping[Asked, int]) -> Iterator[Answer]:
        """Answers that change something and are taken: new, newer, and those ``ticked``.

        A tick names the number of the stored answer that was shown: it is no consent to replace a later one.
        """
        yield from self.new
        yield from (each.answer for each in self.newer)
        yield from (each.answer for each in self.not_newer if ticked.get(each.asked) == each.stored.id)


def compared(state: State, answers: Iterable[Answer]) -> FileAnswers:
    """Answers of a file beside those of a state; what equals the stored or the effective answer is left out."""
    new: list[Answer] = []
    newer, not_newer, again = list[Differing](), list[Differing](), list[Differing]()
    for answer in answers:
        asked = answer.question, answer.of
        stored, effective = state.stored.get(asked), state.assessment.answers.get(*asked)
        if stored is None:
            new.append(answer)
            continue
        if answer in (stored.answer, effective):
            continue
        each = Differing(answer, stored)
        if same_answer(answer, stored.answer) or (effective is not None and same_answer(answer, effective)):
            if each.newer and same_answer(answer, stored.answer):
                again.append(each)
        else:
            (newer if each.newer else not_newer).append(each)
    return FileAnswers(tuple(new), tuple(newer), tuple(not_newer), tuple(again))


def numbers(state: State, answers: Collection[Answer]) -> dict[Asked, int]:
    """Number of the stored answer beside each answer of a file; 0 where there is none."""
    asked = [(answer.question, answer.of) for answer in answers]
    return {each: state.stored[each].id if each in state.stored else 0 for each in asked}
