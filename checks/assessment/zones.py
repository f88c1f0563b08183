"""Answers of a zone to levels and gaps (IEC 62443-3-3)."""

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
    """Whether the review of a zone has begun: at least one topic answered of the zone itself."""
    return any(name in bank.banks().cyber for name in own)


def requirements_asked(held: ByQuestion, banks: Banks) -> dict[str, bool]:
    """Requirements that were asked, directly or through at least one topic, and whether each is met.

    Its own answer speaks where there is one; else it is met when every topic that names it is met. A topic that does
    not apply says nothing; a requirement that does not apply is as good as met.
    """
    found = {}
    for name, topics in banks.topics_of_requirement.items():
        direct = held.get(name)
        answers = [held.get(topic) for topic in topics]
        if direct is not None:
            found[name] = direct.claimed or direct.value == LEFT_OUT
        elif any(answers):
            counted = [one for one in answers if one is None or one.value != LEFT_OUT]
            found[name] = all(one is not None and one.claimed for one in counted)
    return found


def _required(question: Question, target: dict[str, int]) -> bool:
    """Whether any requirement behind a question is needed at the target level; a topic without one always is."""
    if not question.requirements:
        return True
    needed, fr = levels.required_at(), levels.foundation_of()
    return any(target.get(fr[name], 0) in needed[name] for name in question.requirements)


def _gaps(held: ByQuestion, target: dict[str, int], banks: Banks) -> tuple[Gap, ...]:
    found = []
    for question in banks.cyber.values():
        answer = held.get(question.id)
        value = "unknown" if answer is None else answer.value
        if not (answer and (answer.claimed or value == LEFT_OUT)) and _required(question, target):
            found.append(_gap(question, value))
    for question in banks.requirements.values():
        answer = held.get(question.id)
        if answer and not answer.claimed and answer.value != LEFT_OUT and _required(question, target):
            found.append(_gap(question, answer.value))
    return tuple(found)


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
    """Groups that lie in a zone, and functions with a programmable one of them."""

    groups: tuple[str, ...]
    reach: tuple[str, ...]


def assess(
    key: str,
    zone: Zone,
    held: ByQuestion,
    *,
    begun: bool,
    inside: Inside,
    banks: Banks,
) -> ZoneResult:
    """Levels and gaps of one zone from the answers that apply to it.

    ``begun``: its review has begun. A zone nobody reviewed has no gap list: nothing is known of it.
    """
    target: dict[str, int] = {fr: zone.sl_target[fr] for fr in levels.FOUNDATIONAL if fr in zone.sl_target}
    return ZoneResult(
        id=key,
        reviewed=begun,
        target=target,
        levels=levels.indicated(requirements_asked(held, banks)),
        gaps=_gaps(held, target, banks) if begun else (),
        groups=inside.groups,
        reach=inside.reach,
        held=held,
    )
