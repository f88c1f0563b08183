"""The questions of one place of a session in order, and the one shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from checks.assessment.answers import ByQuestion
from checks.plantfile.plant import Asked
from checks.progress import open_questions
from checks.progress.open_questions import TOPICS, Place
from checks.questions.bank import Question
from checks.state.live import State
from pages.ui import state


@dataclass(frozen=True, slots=True)
class Walk:
    """The questions of a place in order, the effective answers, and the addressees of each question.

    ``scopes`` gives the addressees a question may be answered for, broadest first; ``own`` the default one; ``check``
    compares a question with the plant data. ``system`` is the safety system in whose order a session goes on.
    """

    place: Place
    questions: Sequence[Question]
    answers: ByQuestion
    system: str | None
    scopes: Callable[[Question], list[str]]
    own: Callable[[Question], str]
    check: Callable[[Question], str] = lambda _: ""

    def current(self) -> Question:
        """The question named in the URL, else the last one shown here, else the first unanswered one.

        The last one shown keeps the screen from jumping to another question when this one is answered.
        """
        questions = {question.id: question for question in self.questions}
        unanswered = next((name for name in questions if name not in self.answers), None)
        within = f"{self.place.addressee} {self.place.bank}"
        return questions[state.chosen("q", list(questions), unanswered, within=within)]

    def scope(self, question: Question) -> str:
        """The addressee of the shown answer: as selected here, else that of the effective answer."""
        options = self.scopes(question)
        picked = state.shown(f"scope_{question.id}")
        if picked in options:
            return str(picked)
        answer = self.answers.get(question.id)
        if answer is not None:
            # An answer inherited from outside (a cyber topic of the zone) is overridden at the most specific addressee.
            return answer.of if answer.of in options and answer.question == question.id else options[-1]
        asked = self.own(question)
        return asked if asked in options else options[-1]

    def asked(self) -> list[Asked]:
        """Each question, with the addressee for which it is shown."""
        return [(question.id, self.scope(question)) for question in self.questions]


def system_of(current: State, place: Place) -> str | None:
    """The safety system in whose order a session goes on: the one of the address, else the first; None where there is none."""
    systems = open_questions.systems(current, place)
    named = state.at("system")
    return named if named in systems else next(iter(systems), None)


def leading_to(place: Place, question: str = "") -> dict[str, str]:
    """Query parameters that lead to a place, and to one of its questions where given, whose bank the screen then asks."""
    parameters = {"group": place.key} if place.of_group else {"zone": place.key, "bank": place.bank}
    return {**parameters, "q": question} if question else parameters


def screen_of(place: Place) -> str:
    """Address of the screen that asks at a place."""
    return "common-cause" if place.of_group else TOPICS
