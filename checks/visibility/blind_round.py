"""Blind round: earlier answers stay hidden until re-answered, to avoid anchoring.

They are hidden from those who answer but are no secret: they still count in every result, and earlier revisions show
them; a record of one is then exported by others (``record_files.exports``). Evidence, dissents and notes are hidden with them; of the gaps that follow from them only the number is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from checks.access.roles import TEAM, Person
from checks.assessment.answers import ByQuestion
from checks.assessment.assessment import Assessment
from checks.assessment.results import HIDDEN, FunctionResult, GroupResult, ZoneResult
from checks.plantfile.plant import Answer, Asked
from checks.revision import basis
from checks.state.live import State
from checks.state.records import Records
from checks.state.revision_status import Cause
from scoring.voting import Voting

GONE = ("to_confirm", "confirmed")
"""Records that describe the earlier answer only."""

Key = TypeVar("Key")
Kept = TypeVar("Kept")


def hides(state: State, person: Person) -> bool:
    """Whether a blind round hides answers from a person: every team member, whatever other roles they have."""
    return bool(state.records.to_answer_again) and not person.roles.isdisjoint(TEAM)


def questions_to_answer(state: State, system: str) -> list[Asked]:
    """Questions of a system that must be answered again."""
    addressees = basis.scope(state.plant, state.assessment.links, system).addressees
    return [asked for asked in state.records.to_answer_again if asked[1] in addressees]


def hidden(state: State) -> State:
    """The state without the answers hidden by a blind round."""
    hidden_answers = state.records.to_answer_again
    return replace(
        state,
        assessment=BlindAssessment(state.assessment, hidden_answers),
        stored=_without(hidden_answers, state.stored),
        replaced=_without(hidden_answers, state.replaced),
        records=_records(state.records),
    )


def as_shown(state: State) -> Assessment:
    """The assessment of the visible answers only: a hidden answer counts as not known.

    The effect of a further answer on it gives no hint of the hidden ones.
    """
    open_questions = (asked for asked in state.records.to_answer_again if asked not in state.stored)
    unknown = [Answer(question=question, of=of, value="unknown") for question, of in open_questions]
    return state.assessment.with_answers(unknown) if unknown else state.assessment


def _without(keys: Iterable[Key], mapping: Mapping[Key, Kept]) -> dict[Key, Kept]:
    copy = dict(mapping)  # faster than filtering many thousands of keys
    for key in keys:
        copy.pop(key, None)
    return copy


def _records(full: Records) -> Records:
    """The records without entries from before the blind round on the answers that it hides."""
    since = {asked: cause.seq for asked, cause in full.to_answer_again.items()}
    fields: dict[str, Any] = {name: _without(full.to_answer_again, getattr(full, name)) for name in GONE}
    fields["evidence"] = _since(full.evidence, since, lambda piece: piece.number)
    fields["withdrawn"] = _since(full.withdrawn, since, lambda withdrawal: withdrawal[1].number)
    fields["dissents"] = _since(full.dissents, since, lambda dissent: dissent.cause.seq)
    fields["private"] = _since(full.private, since, lambda answer: answer.last)
    return replace(full, **fields)


def _since(entries: Mapping[Asked, tuple[Any, ...]], since: Mapping[Asked, int], number: Any) -> dict[Asked, Any]:
    """For each hidden answer the items recorded since; ``number`` gives the number of an item's event."""
    return {
        asked: items if asked not in since else tuple(item for item in items if number(item) > since[asked])
        for asked, items in entries.items()
    }


class BlindAssessment(Assessment):
    """An assessment that hides answers from its results, each on first use; every figure stays.

    Assessments with other answers come from the full one, since only their figures are shown.
    """

    def __init__(self, full: Assessment, hidden: Mapping[Asked, Cause]) -> None:
        super().__init__(full.plant, full.answers, links=full.links, editions=full.editions)
        self._full, self._to_answer_again = full, hidden
        self._of = {of for _, of in hidden}

    @property
    def all_answers(self) -> Assessment:
        """The full assessment: hidden answers still count in every opinion, of which only figures are shown."""
        return self._full

    def with_answers(self, more: Iterable[Answer]) -> Assessment:
        """The full assessment with further answers."""
        return self._full.with_answers(more)

    def without_answer(self, question: str, of: str) -> Assessment:
        """The full assessment without this answer."""
        return self._full.without_answer(question, of)

    def _hidden_questions(self, answers: ByQuestion) -> list[str]:
        """Questions whose answer is hidden."""
        return [
            name
            for name, answer in answers.items()
            if answer.of in self._of and (answer.question, answer.of) in self._to_answer_again
        ]

    def _assess_group(self, key: str, voting: Voting | None = None) -> GroupResult:  # noqa: ARG002  (of a function)
        return self._shown(self._full.group(key))

    def _shown(self, full: GroupResult) -> GroupResult:
        """A group without its hidden answers."""
        hidden = self._hidden_questions(full.answers)
        if not hidden:
            return full
        asked = self.asked(full.id)
        return replace(
            full,
            answers=_without(hidden, full.answers),
            unanswered=full.unanswered + sum(name in asked for name in hidden),
        )

    def _assess_function(self, key: str) -> FunctionResult:
        return self._full.function(key).with_groups(self._shown)

    def _assess_zone(self, key: str) -> ZoneResult:
        full = self._full.zone(key)
        hidden = self._hidden_questions(full.answers)
        shown = tuple(gap for gap in full.gaps if gap.question not in hidden)
        placeholders = (HIDDEN,) * (len(full.gaps) - len(shown))
        return replace(full, answers=_without(hidden, full.answers), gaps=shown + placeholders) if hidden else full
