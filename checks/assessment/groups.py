"""From the answers that apply to one group to its betas, PFDavg and PFH."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from checks.assessment.answers import ByQuestion
from checks.assessment.editions import Editions
from checks.assessment.over_time import Deferred
from checks.assessment.redundancy_inputs import channels, voted_for
from checks.assessment.results import Band, Betas, GroupResult, Measured
from checks.plantfile.equipment import Group, StatedResult
from checks.plantfile.plant import Plant
from checks.questions import grades
from scoring import equipment, erosion, exposure
from scoring.beta.by_grades import asked_by
from scoring.common_cause import Row
from scoring.equipment import Split, VotedGroup
from scoring.method import BetaMethod, Claims, Exposed, Measure, MoonFactor, RedundancyMethod, Unmet
from scoring.testing import Terms
from scoring.timeline.method import TIMELINE
from scoring.voting import SINGLE, Voting

UNMET = {"met": 0.0, "equivalent": 0.0, "partly": 0.5, "not-met": 1.0, "unknown": 1.0}
"""Unmet share of a topic by its answer; a topic that does not apply is left out (house rule)."""


def claims(plant: Plant, group: Group, claimed: Collection[str]) -> Claims:
    """Answers about a group as input to a beta method; ``claimed`` are the ids of the questions that score as met."""
    acted_on = group.diagnostic_interval_h if group.acts_on_detected else None
    coverage = float(equipment.representative(channels(plant, group)).rates.coverage)
    return Claims(group.part, claimed, coverage, acted_on)


def unmet_topics(group: Group, answers: ByQuestion, editions: Editions, *, reviewed: bool) -> tuple[Unmet, ...] | None:
    """Topics that apply to a group, with their unmet share; None where its zone was never reviewed.

    An unanswered topic counts as unknown; one answered not-applicable is left out.
    """
    if not group.programmable:
        return ()
    if not reviewed:
        return None
    unmet = []
    for topic in editions.banks.cyber.values():
        if exposure.concerns(topic.elements, group.part):
            answer = answers.get(topic.id)
            share = 1.0 if answer is None else UNMET.get(answer.value)
            if share is not None:
                unmet.append(Unmet(topic.id, topic.weight, share, topic.undermines))
    return tuple(unmet)


def has_questions(group: Group) -> bool:
    """Whether answers give the beta of a group: not without redundancy, with a specified beta or with a stated result."""
    return group.voted.redundant and group.stated_beta is None


def questioned(group: Group, method: BetaMethod) -> Mapping[str, Row]:
    """Rows of a questionnaire that apply to a group; none for a method with questions of its own."""
    return method.rows(group.part) if has_questions(group) else {}


def asked(group: Group, method: BetaMethod) -> Iterable[str]:
    """Ids of the questions behind the beta of a group by a method."""
    asking = asked_by(method)
    return questioned(group, method) if asking is None else asking.points() if has_questions(group) else ()


@dataclass(frozen=True)
class BetaCalculation:
    """Calculation of the betas of one redundant group from its answers, with one set of editions and one voting.

    With ``topics`` None beta is not adjusted: the zone was never reviewed.
    """

    plant: Plant
    group: Group
    editions: Editions
    topics: tuple[Unmet, ...] | None
    voting: Voting
    method: BetaMethod

    @property
    def g(self) -> float | None:
        """Exposure of the group, 0 to 1; None where the zone was never reviewed."""
        if self.topics is None:
            return None
        return exposure.exposure([(topic.weight, topic.share) for topic in self.topics])

    def claims(self, answers: ByQuestion) -> tuple[Claims, Claims, Claims]:
        """Answers as input to the method: as they are, with open ones at their best, without those that lack evidence."""
        rows, asking = questioned(self.group, self.method), asked_by(self.method)
        claimed = {name for name in rows if name in answers and answers[name].claimed}
        optimistic = claimed | {name for name in rows if name not in answers or answers[name].open}
        evidenced = {name for name in claimed if answers[name].evidence.strip()}
        graded = [{}, {}, {}] if asking is None else [each(asking, answers) for each in grades.THREE]
        present = claims(self.plant, self.group, claimed)
        best, worst = replace(present, claimed=optimistic), replace(present, claimed=evidenced)
        return replace(present, grades=graded[0]), replace(best, grades=graded[1]), replace(worst, grades=graded[2])

    def exposed(self, claims: Claims) -> Exposed:
        """The group as input to an exposure rule."""
        group, specified = self.group, self.group.stated_beta
        estimate = None if specified is not None else self.method.estimate(claims)
        pair = (estimate.beta, estimate.beta_d) if estimate else (0.0, 0.0)
        if specified is not None:
            pair = (specified.beta, specified.beta_d)
        known = None if specified is not None else claims
        return Exposed(group.part, self.method, known, *pair, self.factor, self.g or 0.0, self.topics or ())

    @property
    def factor(self) -> float:
        """The MooN factor of the voting; 1 for a beta of the whole group. Raises VotingRefused."""
        specified = self.group.stated_beta
        of_group = specified is not None and specified.of == "group"
        return 1.0 if of_group else self.moon_factor.factor(self.voting)

    @property
    def moon_factor(self) -> MoonFactor:
        """The convention for the MooN factor: that of the group, else that of the plant."""
        return self.editions.moon_factor_of(self.plant, self.group)

    def betas(self, claims: Claims) -> Betas | None:
        """Betas with these claims; None without redundancy."""
        if not self.voting.redundant:
            return None
        exposed = self.exposed(claims)
        k = exposed.factor
        beta, beta_d = min(1.0, k * exposed.beta_int), min(1.0, k * exposed.beta_d_int)
        adjusted = (beta, beta_d) if self.topics is None else self.editions.exposure.adjusted(exposed)
        return Betas(exposed.beta_int, exposed.beta_d_int, k, beta, beta_d, *adjusted)


Pairs = tuple[tuple[float, float], ...]
"""(beta, beta_D) in several cases."""
Once = Callable[[Hashable, Callable[[], Measured]], Measured]
"""A result by what it depends on, computed where it is new."""


def assess(key: str, calculation: BetaCalculation, answers: ByQuestion, once: Once) -> GroupResult:
    """Result of one group with the voting of its calculation; ``once`` keeps what the timeline computes."""
    plant, group, editions = calculation.plant, calculation.group, calculation.editions
    if group.stated_result is not None:
        return _stated(key, group, group.stated_result, calculation, answers)
    names, three = list(asked(group, calculation.method)), calculation.claims(answers)
    betas, best, worst = map(calculation.betas, three)
    method, pairs = editions.redundancy_of(key), _pairs(betas, best, worst)

    def measured(measure: Measure) -> Measured:
        equipment = voted_for(editions, plant, key, calculation.voting)
        return _measured(measure, equipment, np.array(pairs), method)

    def kept(measure: Measure) -> Measured:
        if method.about.id != TIMELINE:
            return measured(measure)
        return Deferred(lambda: once((key, calculation.voting, measure, pairs), lambda: measured(measure)))

    score = calculation.method.estimate(three[0]).score if names else None
    ends = (best.beta, worst.beta) if best and worst else (0.0, 0.0)
    return GroupResult(
        id=key,
        part=group.part,
        voting=calculation.voting,
        score=score,
        betas=betas,
        exposure=calculation.g,
        low=kept("pfd"),
        high=kept("pfh"),
        beta_band=ends,
        answers=answers,
        asked=len(names),
        unanswered=sum(name not in answers for name in names),
        pairs=pairs,
    )


def _stated(
    key: str, group: Group, stated: StatedResult, calculation: BetaCalculation, answers: ByQuestion
) -> GroupResult:
    """A group whose maker states its result: the same in all four cases, no beta, no questionnaire."""
    low, high = (None if result is None else _same(result) for result in (stated.pfd, stated.pfh))
    return GroupResult(
        id=key,
        part=group.part,
        voting=group.voted,
        score=None,
        betas=None,
        exposure=calculation.g,
        low=low,
        high=high,
        beta_band=(0.0, 0.0),
        answers=answers,
        asked=0,
        unanswered=0,
        stated=True,
    )


def _same(result: float) -> Measured:
    """A stated result: no part of it depends on beta."""
    none = Split(0.0, 0.0)
    return Measured(erosion.Cases(*[result] * 4), none, none, Band(result, result), Terms(stated=result))


def _pairs(betas: Betas | None, best: Betas | None, worst: Betas | None) -> Pairs:
    """(beta, beta_D) without common cause, with it, with cyber scenario, optimistic, pessimistic."""
    if betas is None or best is None or worst is None:
        return ((0.0, 0.0),) * 5
    ends = ((end.beta, end.beta_d) for end in (best, worst))
    return ((0.0, 0.0), (betas.beta, betas.beta_d), (betas.beta_adjusted, betas.beta_d_adjusted), *ends)


def _measured(measure: Measure, group: VotedGroup, pairs: NDArray[np.float64], method: RedundancyMethod) -> Measured:
    """Four cases, splits and band of one measure."""
    split = method.result(measure, group, beta=pairs[:, 0], beta_d=pairs[:, 1])
    one = group.voted(SINGLE)
    single = method.result(measure, one, beta=0.0, beta_d=0.0)
    terms, of_one = method.test_terms(measure, group), method.test_terms(measure, one)
    independent, shared = np.asarray(split.independent), np.asarray(split.shared)
    ideal, scored, adjusted, best, worst = (independent + shared + terms.total).tolist()
    scored_parts, adjusted_parts = (Split(float(independent[at]), float(shared[at])) for at in (1, 2))
    return Measured(
        cases=erosion.Cases(float(np.asarray(single.total)) + of_one.total, ideal, scored, adjusted),
        scored=scored_parts,
        adjusted=adjusted_parts,
        band=Band(best, worst),
        terms=terms,
    )
