"""From the answers of a zone to its levels and gaps (IEC 62443-3-3)."""

from __future__ import annotations

from dataclasses import dataclass

from checks.assessment.answers import ByQuestion
from checks.assessment.results import Gap, ZoneResult
from checks.plantfile.plant import Zone
from checks.questions import bank
from checks.questions.bank import Banks, Question
from scoring import levels

LEFT_OUT = "not-applicable"


def reviewed(own: ByQuestion) -> bool:
    """Whether the review of a zone has begun: at least one topic is answered for the zone itself."""
    return any(name in bank.banks().cyber for name in own)


def requirements_asked(answers: ByQuestion, banks: Banks) -> dict[str, bool]:
    """Requirements that were asked, directly or through a topic, and whether each is met.

    A direct answer to the requirement applies first; else all topics that name it must be met. A topic that does not
    apply is ignored; a requirement that does not apply counts as met.
    """
    met = {}
    for name, topics in banks.topics_of_requirement.items():
        direct = answers.get(name)
        of_topics = [answers.get(topic) for topic in topics]
        if direct is not None:
            met[name] = direct.claimed or direct.value == LEFT_OUT
        elif any(of_topics):
            counted = [answer for answer in of_topics if answer is None or answer.value != LEFT_OUT]
            met[name] = all(answer is not None and answer.claimed for answer in counted)
    return met


def _required(question: Question, target: dict[str, int]) -> bool:
    """Whether the target level needs a requirement of this question; a topic without requirements is always needed."""
    if not question.requirements:
        return True
    needed, fr = levels.required_at(), levels.foundation_of()
    return any(target.get(fr[name], 0) in needed[name] for name in question.requirements)


def _gaps(answers: ByQuestion, target: dict[str, int], banks: Banks) -> tuple[Gap, ...]:
    gaps = []
    for question in banks.cyber.values():
        answer = answers.get(question.id)
        value = "unknown" if answer is None else answer.value
        if not (answer and (answer.claimed or value == LEFT_OUT)) and _required(question, target):
            gaps.append(_gap(question, value))
    for question in banks.requirements.values():
        answer = answers.get(question.id)
        if answer and not answer.claimed and answer.value != LEFT_OUT and _required(question, target):
            gaps.append(_gap(question, answer.value))
    return tuple(gaps)


def _gap(question: Question, value: str) -> Gap:
    return Gap(
        question=question.id,
        is_topic=question.bank == "cyber",
        fr=question.fr,
        requirements=question.requirements,
        value=value,
        weight=question.weight,
        action=question.action,
    )


@dataclass(frozen=True, slots=True)
class Inside:
    """Groups in a zone, and functions with a programmable group in it."""

    groups: tuple[str, ...]
    reach: tuple[str, ...]


def assess(
    key: str,
    zone: Zone,
    answers: ByQuestion,
    *,
    begun: bool,
    inside: Inside,
    banks: Banks,
) -> ZoneResult:
    """Levels and gaps of one zone from the answers that apply to it.

    ``begun``: its review has begun. A zone that nobody reviewed has no gap list.
    """
    target: dict[str, int] = {fr: zone.sl_target[fr] for fr in levels.FOUNDATIONAL if fr in zone.sl_target}
    return ZoneResult(
        id=key,
        reviewed=begun,
        target=target,
        levels=levels.indicated(requirements_asked(answers, banks)),
        gaps=_gaps(answers, target, banks) if begun else (),
        groups=inside.groups,
        reach=inside.reach,
        answers=answers,
    )
