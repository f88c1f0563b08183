"""Effect of an open question or a gap on a result if it were answered as met."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from checks.assessment.assessment import Assessment
from checks.assessment.results import HIDDEN, FunctionResult, Gap
from checks.plantfile.plant import Answer
from checks.questions.bank import Question
from scoring.beta.by_grades import asked_by

Case = Literal["scored", "adjusted"]


@dataclass(frozen=True, slots=True)
class Effect:
    """Effect of one better answer on the worst function: result with the present answer, result with the better one, points.

    A common-cause answer is measured with common cause only, a security answer with the cyber scenario.
    """

    question: str
    of: str
    function: str
    demand: str
    now: float
    then: float
    points: float

    @property
    def gain(self) -> float:
        """Factor by which the result improves; 1 where this answer alone changes nothing."""
        return self.now / self.then


def addressee(question: Question, assessment: Assessment, *, group: str | None, zone: str | None) -> str:
    """Default addressee of an answer: the one a session offers, else the broadest for which the question makes sense."""
    if question.offered == "group" and group is not None:
        return f"group:{group}"
    if question.asked_of == "system" and group is not None and assessment.links.systems_of[group]:
        return f"system:{assessment.links.systems_of[group][0]}"
    if question.asked_of in ("group", "system") and group is not None:
        return f"group:{group}"
    return f"zone:{zone}" if question.asked_of == "zone" and zone is not None else "plant"


def _effect(
    assessment: Assessment, worst: FunctionResult, asked: tuple[str, str], points: float, *, case: Case
) -> Effect:
    question, of = asked
    value = assessment.banks.questions[question].best
    best = Answer.model_validate({"question": question, "of": of, "value": value})
    improved = assessment.with_answers([best]).function(worst.id)
    before, after = getattr(worst.cases, case), getattr(improved.cases, case)
    return Effect(question, of, worst.id, worst.demand, before, after, points)


def open_questions_of_group(assessment: Assessment, key: str) -> list[Effect]:
    """Questions of a group that are unanswered or unknown, largest effect first.

    The effect is that on the worst function that the group can change. Where no single answer reaches the next band of Table
    D.4, the question with the most points comes first; of a method with questions of its own, the one whose grades lie furthest
    apart.
    """
    worst = assessment.worst_by_common_cause([key])
    answers = assessment.group(key).answers
    if worst is None:
        return []
    effects = []
    points = _points(assessment, key)
    for name, question in assessment.asked(key).items():
        if name not in answers or answers[name].value == "unknown":
            of = addressee(question, assessment, group=key, zone=None)
            effects.append(_effect(assessment, worst, (name, of), points[name], case="scored"))
    return sorted(effects, key=lambda effect: (-effect.gain, -effect.points))


def _points(assessment: Assessment, key: str) -> dict[str, float]:
    """What each question behind the beta of a group can score: its points, or how far its grades lie apart."""
    asking = asked_by(assessment.beta_method(key))
    if asking is None:
        return {name: row.x + row.y for name, row in assessment.questioned(key).items()}
    return {name: max(printed.values()) - min(printed.values()) for name, printed in asking.points().items()}


def open_topics_of_zone(assessment: Assessment, key: str) -> list[Effect]:
    """Topics of a zone that are unanswered or unknown, largest effect on its worst function first."""
    zone = assessment.zone(key)
    worst = assessment.worst_by_exposure(zone.groups)
    if worst is None:
        return []
    effects = []
    for topic in assessment.banks.cyber.values():
        if topic.id not in zone.answers or zone.answers[topic.id].value == "unknown":
            of = addressee(topic, assessment, group=None, zone=key)
            effects.append(_effect(assessment, worst, (topic.id, of), float(topic.weight), case="adjusted"))
    return sorted(effects, key=lambda effect: (-effect.gain, -effect.points))


def gap_effects(assessment: Assessment, key: str) -> list[tuple[Gap, Effect | None]]:
    """Each gap of a zone with the effect of closing it on the worst function that the zone can change; largest first.

    A closed topic no longer exposes any group. A requirement that is answered directly exposes no group, so its effect
    is None.
    """
    zone = assessment.zone(key)
    worst = assessment.worst_by_exposure(zone.groups)
    effects: list[tuple[Gap, Effect | None]] = []
    for gap in zone.gaps:
        if gap == HIDDEN:
            continue
        effect = None
        if gap.is_topic and worst is not None:
            effect = _effect(assessment, worst, (gap.question, f"zone:{key}"), float(gap.weight), case="adjusted")
        effects.append((gap, effect))
    return sorted(effects, key=lambda pair: -(pair[1].gain if pair[1] else 0.0))
