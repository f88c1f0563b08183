"""Question sheets: which questions a session asks about a group, a zone or a whole safety system, and of which addressee."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from checks.assessment import answer_effects
from checks.plantfile.consistency import BEFORE
from checks.plantfile.plant import Answer
from checks.questions.bank import Question
from checks.revision import basis
from checks.state.live import State
from scoring.exposure import concerns

KINDS = ("system", "group", "zone")
"""Kinds of subject for which sheets are printed."""


@dataclass(frozen=True, slots=True)
class AskedOf:
    """One answer that a sheet asks for: its addressee, and the answer in effect.

    ``earlier`` is None where there is no answer or the reader may not see it; ``hidden`` says that a blind round hides it.
    ``open`` says that an answer is missing, not known, or must be given again or confirmed.
    """

    of: str
    earlier: Answer | None
    hidden: bool
    open: bool


@dataclass(frozen=True, slots=True)
class SheetQuestion:
    """A question, and each addressee it is asked of."""

    question: Question
    asked: tuple[AskedOf, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The questions of one bank that are answered for one addressee, in the order of the bank."""

    of: str
    bank: str
    questions: tuple[SheetQuestion, ...]


@dataclass(frozen=True, slots=True)
class Selection:
    """What is printed: ``subject`` such as ``group:pt-301``, with or without the requirements, all or only open questions."""

    subject: str
    requirements: bool = True
    only_open: bool = False


def sheets(state: State, selection: Selection) -> tuple[Sheet, ...]:
    """The sheets of a selection; a question about a whole system or plant is on a sheet of its own, asked once.

    For a single group or zone all its questions are on its own sheet. ``state`` is that of the reader.
    Raises NoSuchSystem for a system that the plant does not have.
    """
    kind, _, key = selection.subject.partition(":")
    found: dict[tuple[str, str], dict[str, SheetQuestion]] = {}
    if kind == "system":
        scope = basis.scope(state.plant, state.assessment.links, key)
        items = [item for group in scope.groups for item in _of_group(state, group, system=key)]
        items += [item for zone in scope.zones for item in _of_zone(state, zone)]
        items.sort(key=lambda item: ("plant", "system", "group", "zone").index(item[0].partition(":")[0]))
    else:
        questions = _of_group(state, key) if kind == "group" else _of_zone(state, key)
        items = [(selection.subject, item) for _, item in questions]
    for of, item in items:
        if item.question.bank == "requirements" and not selection.requirements:
            continue
        if not selection.only_open or any(asked.open for asked in item.asked):
            found.setdefault((of, item.question.bank), {}).setdefault(item.question.id, item)
    return tuple(Sheet(of, bank, tuple(questions.values())) for (of, bank), questions in found.items())


Item = tuple[str, SheetQuestion]
"""The addressee on whose sheet a question is, and the question."""


def _of_group(state: State, group: str, system: str | None = None) -> Iterator[Item]:
    """The questions behind the beta of a group."""
    assessment, answers = state.assessment, state.assessment.group(group).answers
    systems = assessment.links.systems_of[group]
    for question in assessment.asked(group).values():
        of = answer_effects.addressee(question, assessment, group=group, zone=None)
        if question.asked_of == "system" and system is not None:
            of = f"system:{system}"
        if not state.is_answerable(of):
            of = f"group:{group}"
        chain = ("plant", *(f"system:{key}" for key in systems), f"group:{group}")
        yield of, SheetQuestion(question, (_asked(state, question, of, chain, answers),))


def _of_zone(state: State, zone: str) -> Iterator[Item]:
    """Exposure topics and requirements of a zone; a topic that is judged tag by tag is asked of each group it concerns."""
    banks, answers = state.assessment.banks, state.assessment.zone(zone).answers
    for question in (*banks.cyber.values(), *banks.requirements.values()):
        of = answer_effects.addressee(question, state.assessment, group=None, zone=zone)
        if not state.is_answerable(of):
            of = f"zone:{zone}"
        groups = _concerned(state, zone, question)
        asked = tuple(
            _asked(
                state,
                question,
                f"group:{group}",
                ("plant", f"zone:{zone}", f"group:{group}"),
                state.assessment.group(group).answers,
            )
            for group in groups
        )
        yield of, SheetQuestion(question, asked or (_asked(state, question, of, ("plant", f"zone:{zone}"), answers),))


def _concerned(state: State, zone: str, question: Question) -> list[str]:
    """Programmable groups of a zone that are asked about a topic one by one."""
    if question.offered != "group":
        return []
    groups = ((key, state.plant.groups[key]) for key in state.assessment.links.groups_in[zone])
    return [key for key, group in groups if group.programmable and concerns(question.elements, group.part)]


def _asked(state: State, question: Question, of: str, chain: Iterable[str], answers: Mapping[str, Answer]) -> AskedOf:
    """An answer to ask for; ``chain`` are the addressees whose answer may apply, ``answers`` those in effect."""
    answer = answers.get(question.id)
    places = [(question.id, place) for place in chain if place.partition(":")[0] in BEFORE[question.bank]]
    if answer is not None:
        places = [(answer.question, answer.of)]
    hidden = any(place in state.records.to_answer_again for place in places)
    waiting = hidden or any(place in state.records.to_confirm for place in places)
    unknown = answer is None or answer.value == "unknown"
    return AskedOf(of, None if hidden else answer, hidden, open=waiting or unknown)
