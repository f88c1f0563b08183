"""Which answers must become met, and for which addressee, so that a question is met for a group.

An answer is improved where it stands. A question that nobody answered is answered for the addressee that a session offers.
A question that does not apply stays so: nothing makes it met.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from checks.assessment import answer_effects
from checks.assessment.answers import SAME_QUESTION, Answers
from checks.assessment.assessment import Assessment
from checks.plantfile.plant import Answer, Asked, VotedOtherwise
from scoring.method import Unmet

OPEN = ("partly", "not-met", "unknown")
"""Values that an action turns into met."""
Needed = tuple[frozenset[Asked], ...]
"""Alternatives, each a set of answers that must become met."""
May = Callable[[str], bool]
"""Whether answers of an addressee are considered: a reader may not see all."""


@dataclass(frozen=True)
class OfGroup:
    """What is unmet for one group: common-cause questions and security topics, each with what makes it met."""

    met: frozenset[str]
    rows: dict[str, Needed]
    topics: dict[str, tuple[Unmet, Needed]]

    @property
    def asked(self) -> frozenset[Asked]:
        """All answers that can change the group."""
        needed = [*self.rows.values(), *(each for _, each in self.topics.values())]
        return frozenset(asked for alternatives in needed for answers in alternatives for asked in answers)


def of_groups(assessment: Assessment, groups: Iterable[str], may: May) -> dict[str, OfGroup]:
    """What is unmet for each group. An answer offered for one group may help another, so all are considered together."""
    keys = list(dict.fromkeys(groups))
    around = {key: _Around(assessment, key) for key in keys}
    offered: dict[str, set[Asked]] = {}
    for each in around.values():
        for question in each.unmet():
            for asked in each.offered(question):
                if may(asked[1]):
                    offered.setdefault(asked[0], set()).add(asked)
    return {key: each.conditions(offered) for key, each in around.items()}


class _Around:
    """The answers that reach one group."""

    def __init__(self, assessment: Assessment, key: str) -> None:
        self._assessment, self._key = assessment, key
        group, links = assessment.plant.groups[key], assessment.links
        self._zone, self._systems = group.zone, links.systems_of[key]
        zone = () if group.zone is None else (f"zone:{group.zone}",)
        self._reach = (f"group:{key}", *(f"system:{name}" for name in self._systems), *zone, "plant")
        answers = assessment.answers_for(key)
        self._rows = assessment.questioned(key)
        self._met = frozenset(name for name in self._rows if name in answers and answers[name].claimed)
        topics = assessment.unmet_topics(key, answers) if _has_beta(assessment, key) else ()
        self._reviewed = topics is not None
        self._topics = {topic.topic: topic for topic in topics or () if topic.share > 0.0}

    def unmet(self) -> list[str]:
        """Questions and topics that are not met for the group."""
        return [name for name in self._rows if name not in self._met] + list(self._topics)

    def offered(self, question: str) -> list[Asked]:
        """Answers to a question that an action may improve; where nobody answered, the one that a session would ask for."""
        names = _same(question)
        stored = [answer for name in names for of in self._reach if (answer := self._assessment.answers.get(name, of))]
        if self._answer(self._small(stored), question) is not None:
            return [(answer.question, answer.of) for answer in stored if answer.value in OPEN]
        of_group = question in self._rows
        group, zone = (self._key, None) if of_group else (None, self._zone)
        asked = self._assessment.banks.questions[question]
        default = answer_effects.addressee(asked, self._assessment, group=group, zone=zone)
        return [(question, default), *self._topic_instead(question)]

    def _topic_instead(self, question: str) -> list[Asked]:
        """The security topic that asks the same as an unanswered common-cause question, where its zone is reviewed."""
        topic = SAME_QUESTION.get(question)
        if topic is None or self._zone is None or not self._reviewed:
            return []
        asked = self._assessment.banks.cyber[topic]
        return [(topic, answer_effects.addressee(asked, self._assessment, group=None, zone=self._zone))]

    def conditions(self, offered: dict[str, set[Asked]]) -> OfGroup:
        """What makes each unmet question of the group met, of what is offered."""
        rows = {name: self._needed(name, offered) for name in self._rows if name not in self._met}
        topics = {name: (topic, self._needed(name, offered)) for name, topic in self._topics.items()}
        return OfGroup(self._met, rows, topics)

    def _needed(self, question: str, offered: dict[str, set[Asked]]) -> Needed:
        """Each single answer that is enough, and what the other ones do together."""
        names = _same(question)
        stored = [answer for name in names for of in self._reach if (answer := self._assessment.answers.get(name, of))]
        asked = sorted(each for name in names for each in offered.get(name, ()) if each[1] in self._reach)

        def met(improved: Iterable[Asked]) -> bool:
            answers = self._small(stored).plus(Answer(question=name, of=of, value="met") for name, of in improved)
            answer = self._answer(answers, question)
            return answer is not None and answer.claimed

        single = [each for each in asked if met([each])]
        rest = [each for each in asked if each not in single]
        needed = [frozenset([each]) for each in single]
        if rest and met(rest):
            for each in list(rest):
                fewer = [other for other in rest if other != each]
                if met(fewer):
                    rest = fewer
            needed.append(frozenset(rest))
        return tuple(needed)

    def _answer(self, answers: Answers, question: str) -> Answer | None:
        return answers.for_group(self._key, zone=self._zone, systems=self._systems).get(question)

    @staticmethod
    def _small(stored: Iterable[Answer]) -> Answers:
        return Answers(stored)


def _has_beta(assessment: Assessment, key: str) -> bool:
    """Whether a group has redundancy, in its own voting or in that of a function."""
    entries = (entry for name in assessment.links.uses[key] for entry in assessment.plant.functions[name].groups)
    others = (entry.voting for entry in entries if isinstance(entry, VotedOtherwise) and entry.group == key)
    return any(voting.redundant for voting in (assessment.plant.groups[key].voted, *others))


def _same(question: str) -> tuple[str, ...]:
    """A question, and the one whose answer counts for it too."""
    return (question, SAME_QUESTION[question]) if question in SAME_QUESTION else (question,)
