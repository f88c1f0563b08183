"""Which open question could change a result most, and what closing a gap would do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from checks.assessment.assessment import Assessment
from checks.assessment.results import HIDDEN, FunctionResult, Gap
from checks.plantfile.plant import Answer
from checks.questions.bank import Question

Case = Literal["scored", "adjusted"]


@dataclass(frozen=True, slots=True)
class Effect:
    """What one better answer would do to the worst function: its result now and then, and the gain as a factor.

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
        """Factor by which the result improves; 1 where this answer alone moves nothing."""
        return self.now / self.then


def addressee(question: Question, assessment: Assessment, *, group: str | None, zone: str | None) -> str:
    """Of whom a question is answered by default: whom it is offered to, else the broadest addressee that it makes sense for."""
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
    best = Answer(question=question, of=of, value="met")
    then = assessment.with_answers([best]).function(worst.id)
    before, after = getattr(worst.cases, case), getattr(then.cases, case)
    return Effect(question, of, worst.id, worst.demand, before, after, points)


def open_questions_of_group(assessment: Assessment, key: str) -> list[Effect]:
    """Unanswered or not known questions of a group, most decisive first.

    Decisive is what moves the worst function most, of those that the group can move; where no answer alone crosses into the next band of
    Table D.4, the one that brings most points.
    """
    worst = assessment.worst_by_common_cause([key])
    held = assessment.group(key).held
    if worst is None:
        return []
    found = []
    for name, row in assessment.questioned(key).items():
        if name not in held or held[name].value == "unknown":
            question = assessment.banks.common_cause[name]
            of = addressee(question, assessment, group=key, zone=None)
            found.append(_effect(assessment, worst, (name, of), row.x + row.y, case="scored"))
    return sorted(found, key=lambda one: (-one.gain, -one.points))


def open_topics_of_zone(assessment: Assessment, key: str) -> list[Effect]:
    """Unanswered or not known topics of a zone, most decisive for its worst function first."""
    zone = assessment.zone(key)
    worst = assessment.worst_by_exposure(zone.groups)
    if worst is None:
        return []
    found = []
    for topic in assessment.banks.cyber.values():
        if topic.id not in zone.held or zone.held[topic.id].value == "unknown":
            of = addressee(topic, assessment, group=None, zone=key)
            found.append(_effect(assessment, worst, (topic.id, of), float(topic.weight), case="adjusted"))
    return sorted(found, key=lambda one: (-one.gain, -one.points))


def gap_effects(assessment: Assessment, key: str) -> list[tuple[Gap, Effect | None]]:
    """Each gap of a zone with a function's result now and with this gap closed: the worst that the zone can move.

    Closing a topic takes it out of the exposure of every group it concerns. A requirement answered directly carries
    no exposure of its own, so it has no effect here.
    """
    zone = assessment.zone(key)
    worst = assessment.worst_by_exposure(zone.groups)
    found: list[tuple[Gap, Effect | None]] = []
    for gap in zone.gaps:
        if gap == HIDDEN:
            continue
        effect = None
        if gap.is_topic and worst is not None:
            effect = _effect(assessment, worst, (gap.question, f"zone:{key}"), float(gap.weight), case="adjusted")
        found.append((gap, effect))
    return sorted(found, key=lambda pair: -(pair[1].gain if pair[1] else 0.0))
