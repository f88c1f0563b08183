"""The question to ask next: the most decisive open one, and the next open one of a system.

A question that was passed, or answered Not known on the same day, is not asked again; the place that follows is asked
instead, and what remains is named.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from checks.assessment import answer_effects
from checks.assessment.answer_effects import Effect
from checks.assessment.assessment import MOVES, Assessment
from checks.plantfile.plant import Asked
from checks.progress import open_questions
from checks.progress.open_questions import CAUSES, REQUIREMENTS, TOPICS, Place, Progress
from checks.state.live import State
from checks.text.number_format import factor
from checks.visibility import blind_round

NOUN = {CAUSES: "common-cause question", TOPICS: "topic", REQUIREMENTS: "requirement"}
MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class Next:
    """The place and question to go to, None where nothing is left to ask; ``text`` says why in words."""

    place: Place | None
    question: str
    text: str


def default_addressee(assessment: Assessment, place: Place, question: str) -> str:
    """The addressee for which a session asks a question at a place."""
    group, zone = (place.key, None) if place.of_group else (None, place.key)
    asked = open_questions.questions(assessment, place)[question]
    return answer_effects.addressee(asked, assessment, group=group, zone=zone)


def is_settled(assessment: Assessment, place: Place, question: str) -> bool:
    """Whether a question has an answer other than Not known at a place; else leaving it means passing it."""
    return question not in open_questions.progress(assessment, place).open


def left(state: State, progress: Progress, passed: Collection[Asked], shown: str = "") -> list[str]:
    """Open questions of a place without those passed, answered Not known on the same day, or shown."""
    return [name for name in progress.open if name != shown and not _was_asked(state, progress.place, name, passed)]


def _was_asked(state: State, place: Place, question: str, passed: Collection[Asked]) -> bool:
    asked = {(question, place.addressee), (question, default_addressee(state.assessment, place, question))}
    if not asked.isdisjoint(passed):
        return True
    answer = open_questions.answers(state.assessment, place).get(question)
    stored = None if answer is None else state.stored.get((answer.question, answer.of))
    return stored is not None and stored.day == state.day


def most_decisive(
    state: State, place: Place, shown: str, *, system: str | None = None, passed: Collection[Asked] = ()
) -> Next:
    """The open question whose best answer would improve a result most, here or else at the next place of the same kind.

    ``shown`` is the question on screen, ``system`` the one whose places follow; ``passed`` are questions passed, each with
    its addressee or its place.
    """
    opinion = open_questions.is_opinion(state.assessment, place)
    around = [] if opinion else open_questions.around(state, place, system)
    kind = [each for each in around if each.of_group == place.of_group]
    known = {each: open_questions.progress(state.assessment, each) for each in dict.fromkeys((place, *kind))}
    for where, progress in known.items():
        names = left(state, progress, passed, shown if where == place else "")
        if names:
            question, text = _best(state, where, names)
            return Next(
                where, question, text if where == place else f"{_done(known[place], shown)} {where.key}: {text}"
            )
    return Next(None, "", _nothing_left(state, known.values(), place, shown, system))


def _best(state: State, place: Place, names: list[str]) -> tuple[str, str]:
    """The question of these with the largest effect, and that effect in words."""
    effects = {effect.question: effect for effect in _effects(state, place)}
    measured = [effects[name] for name in names if name in effects]
    if not measured:
        return names[0], _without_effect(state, place, names[0])
    best = max(measured, key=lambda effect: (_moves(effect), effect.points))
    if _moves(best) > 1.0:
        return best.question, f"{best.question}: met, it would improve {best.function} by a factor {factor(best.gain)}."
    counts = "scores" if place.of_group else "weighs"
    return best.question, (
        f"{best.question} hardly moves {best.function}: under 1 %. Of the questions left it {counts} most: {best.points:g}."
    )


def _effects(state: State, place: Place) -> list[Effect]:
    if place.bank == REQUIREMENTS or open_questions.is_opinion(state.assessment, place):
        return []
    assessment = blind_round.as_shown(state)
    if place.of_group:
        return answer_effects.open_questions_of_group(assessment, place.key)
    return answer_effects.open_topics_of_zone(assessment, place.key)


def _moves(effect: Effect) -> float:
    """The gain of an answer; 1 where it is under one per cent."""
    return effect.gain if effect.gain - 1.0 >= MOVES else 1.0


def _without_effect(state: State, place: Place, question: str) -> str:
    if open_questions.is_opinion(state.assessment, place):
        return f"{question} is open. It is part of a further opinion and changes no result."
    if place.of_group:
        return f"{question} is open. No safety function uses this group, so it changes no result."
    return f"{question} is open. It changes levels and gaps, no result."


def _done(progress: Progress, shown: str) -> str:
    others = [name for name in progress.open if name != shown]
    key = progress.place.key
    return f"What is open in {key} was passed or is not known." if others else f"{key} has no other open question."


def _nothing_left(state: State, here: Iterable[Progress], place: Place, shown: str, system: str | None) -> str:
    """What is still open, in words, where nothing is left to ask here."""
    known, opinion = list(here), open_questions.is_opinion(state.assessment, place)
    of = system or "the zones without a system"
    is_open = shown in open_questions.progress(state.assessment, place).open
    passed = [
        f"{name} of {progress.place.key}"
        for progress in known
        for name in progress.open
        if (progress.place, name) != (place, shown)
    ]
    if passed:
        text = f"What is open was passed or is not known: {_named(passed)}."
    elif is_open:
        text = f"{shown}, shown here, is the only open one."
    else:
        text = f"Every {NOUN[CAUSES] if place.of_group else 'topic and requirement'} of {of} has an answer."
        if opinion:
            text = f"Every question of this method has an answer for {place.key}."
    elsewhere = "" if opinion else _elsewhere(state, {progress.place for progress in known}, system)
    return f"{text} Still open elsewhere: {elsewhere}." if elsewhere else text


def _elsewhere(state: State, here: Collection[Place], system: str | None) -> str:
    places = open_questions.without_system(state)
    if system is not None:
        places = [*open_questions.of_system(state, system), *places]
    counts = [
        f"{len(progress.open)} {NOUN.get(progress.place.bank, NOUN[CAUSES])}{'' if len(progress.open) == 1 else 's'} of {progress.place.key}"
        for progress in (open_questions.progress(state.assessment, each) for each in places if each not in here)
        if progress.open
    ]
    return _named(counts)


def _named(texts: list[str]) -> str:
    more = len(texts) - MOST_NAMED
    return ", ".join(texts[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def next_open(
    state: State, place: Place, shown: str, *, system: str | None = None, passed: Collection[Asked] = ()
) -> tuple[Place, str] | None:
    """The next open question of a system from the one shown on, in the order of places and banks; None where none is left."""
    for where in open_questions.around(state, place, system):
        names = left(state, open_questions.progress(state.assessment, where), passed, shown if where == place else "")
        if where == place:
            order = list(open_questions.questions(state.assessment, place))
            names = sorted(names, key=lambda name: (order.index(name) < order.index(shown), order.index(name)))
        if names:
            return where, names[0]
    return None
