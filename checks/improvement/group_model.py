"""One group in the model: its rows and topics with what makes them met, and its result in each state."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from itertools import product
from math import expm1, log1p

import numpy as np

from checks.allowed_changes.change import GroupChange
from checks.assessment.assessment import Assessment
from checks.assessment.groups import claims
from checks.assessment.redundancy_inputs import voted
from checks.assessment.verdicts import Case
from checks.improvement.conditions import Needed, OfGroup
from checks.plantfile.plant import Asked
from checks.text.faults import Fault, Refused
from scoring import exposure
from scoring.beta.by_grades import asked_by
from scoring.improvement.problem import MET, Condition, ExposedTopic, Floats, GroupInputs, ScoredRow, State, Value
from scoring.method import Exposed, Measure
from scoring.voting import Voting

Step = Asked | GroupChange
"""An open answer that becomes met, or an allowed change of a group."""
Option = tuple[frozenset[GroupChange], Assessment]
NOTHING: Needed = (frozenset(),)
"""What an answer needs that is met already."""


class GroupModel:
    """A group in one case. With the rule ``credits`` a row also needs the topics that undermine it.

    ``options`` are the choices of its changes, each with the assessment of the changed plant; the first is that of none.
    ``assessment`` is one in which the group has its questions, if it has them in any option.
    """

    def __init__(
        self, assessment: Assessment, group: tuple[str, OfGroup], case: Case, options: Sequence[Option]
    ) -> None:
        self.key, unmet = group
        self._assessment = assessment
        self._group, self._method = assessment.plant.groups[self.key], assessment.beta_method(self.key)
        self._group = assessment.plant.groups[self.key]
        self.options = tuple(options)
        rule = assessment.editions.exposure.about.id if case == "adjusted" else "none"
        self._raised = rule not in ("none", "credits")
        self._rows = _rows(assessment, self.key, unmet, withdrawn=rule == "credits")
        self._topics = unmet.topics if self._raised else {}
        self.value = cache(self._value)
        self._of_votes = cache(self._betas)

    @property
    def asked(self) -> frozenset[Asked]:
        """Answers that can change the group in this case."""
        needed = [*self._rows.values(), *(each for _, each in self._topics.values())]
        return frozenset(asked for each in needed for answers in each for asked in answers)

    def inputs(self, index: Mapping[Step, int]) -> GroupInputs:
        """Rows, bands, topics and options, with answers and changes by index."""
        points = self._assessment.questioned(self.key)
        rows = tuple(
            ScoredRow(points[name].x, points[name].y, points[name].alternatives, _condition(needed, index))
            for name, needed in self._rows.items()
        )
        topics = tuple(
            ExposedTopic(
                -log1p(-exposure.CLASS_VALUE[topic.weight] * topic.share), _condition(needed, index), topic.weight
            )
            for topic, needed in self._topics.values()
        )
        limits = tuple(limit for limit, _ in self._bands()) if rows else (0.0,)
        options = tuple(frozenset(index[change] for change in changes) for changes, _ in self.options)
        return GroupInputs(rows, limits, self._credit() if rows else 0.0, topics, options)

    def _bands(self) -> tuple[tuple[float, float], ...]:
        method = self._method
        bands = method.bands(self._group.part)
        if not bands:
            found = f"{method.about.id} has no score bands"
            raise Refused(
                "improve", [Fault("conventions.beta_method", found, "a method whose beta follows from a score")]
            )
        return bands

    def _credit(self) -> float:
        """Z of the group."""
        score = self._method.estimate(claims(self._assessment.plant, self._group, ())).score
        return 0.0 if score is None else score.z

    def _value(self, measure: Measure, voting: Voting | None = None) -> Value:
        """PFDavg or PFH of the group from its state, with its own or another voting; infinite in no option."""
        values = [self._of_option(assessment, measure, voting) for _, assessment in self.options]
        if len(values) == 1:
            return values[0]

        def value(states: Sequence[State]) -> Floats:
            (state,) = states
            result = np.full(state[0].shape, np.inf)
            for at, of_option in enumerate(values):
                inside = state[3] == at
                if inside.any():
                    s, s_d, exposed, option = state
                    result[inside] = of_option([(s[inside], s_d[inside], exposed[inside], option[inside])])
            return result

        return value

    def _of_option(self, assessment: Assessment, measure: Measure, voting: Voting | None) -> Value:
        """PFDavg or PFH of the group in one option."""
        group = assessment.plant.groups[self.key]
        editions, votes = assessment.editions, voting or group.voted
        if group.stated_result is not None:
            stated = assessment.group(self.key).measured(measure).cases.scored
            return lambda states: np.full(states[0][0].shape, stated)
        equation = voted(assessment.plant, group, votes)
        method = editions.redundancy_of(self.key)
        terms = method.test_terms(measure, equation).total
        betas = self.betas(assessment, votes)

        def value(states: Sequence[State]) -> Floats:
            beta, beta_d = betas(states[0])
            split = method.result(measure, equation, beta=beta, beta_d=beta_d)
            return np.asarray(np.broadcast_to(split.independent + split.shared + terms, beta.shape), dtype=float)

        return value

    def _fixed(self) -> tuple[float, float] | None:
        """Beta and beta_D of a pair that no action moves: specified, or by a method with questions of its own."""
        if (specified := self._group.stated_beta) is not None:
            return specified.beta, specified.beta_d
        if asked_by(self._method) is None:
            return None
        estimate = self._method.estimate(self._assessment.claims(self.key))
        return estimate.beta, estimate.beta_d

    def betas(self, assessment: Assessment, votes: Voting) -> Betas:
        """Beta and beta_D from states of the group, in the assessment of one option."""
        return self._of_votes(votes, assessment.calculation(self.key, votes).factor if votes.redundant else 1.0)

    def _betas(self, votes: Voting, factor: float) -> Betas:
        """Beta and beta_D with the MooN factor, and the exposure rule where the case has it, from states of the group."""
        if not votes.redundant:
            return lambda state: (np.zeros(state[0].shape), np.zeros(state[0].shape))
        group, editions, fixed = self._group, self._assessment.editions, self._fixed()
        bands = () if fixed else self._bands()

        @cache
        def of_state(s: int, s_d: int, exposed: float) -> tuple[float, float]:
            pair = fixed or (bands[s][1], bands[s_d][1])
            if not self._raised:
                return min(1.0, factor * pair[0]), min(1.0, factor * pair[1])
            inputs = Exposed(group.part, self._method, None, *pair, factor, -expm1(-exposed), ())
            return editions.exposure.adjusted(inputs)

        def of_states(state: State) -> tuple[Floats, Floats]:
            s, s_d, exposed = (each.tolist() for each in state[:3])
            betas = np.array([of_state(*each) for each in zip(s, s_d, exposed, strict=True)]).reshape(-1, 2)
            return betas[:, 0], betas[:, 1]

        return of_states


Betas = Callable[[State], tuple[Floats, Floats]]


def _rows(assessment: Assessment, key: str, unmet: OfGroup, *, withdrawn: bool) -> dict[str, Needed]:
    """What each row of the questionnaire needs to score."""
    rows = {name: unmet.rows.get(name, NOTHING) for name in assessment.questioned(key)}
    if withdrawn:
        for topic, needed in unmet.topics.values():
            for name in rows.keys() & set(topic.undermines):
                rows[name] = tuple(dict.fromkeys(one | other for one, other in product(rows[name], needed)))
    return rows


def _condition(needed: Needed, index: Mapping[Step, int]) -> Condition:
    return MET if needed == NOTHING else tuple(frozenset(index[asked] for asked in answers) for answers in needed)
