"""A fresh start: whoever answers sees the earlier answers no more until they are given anew, so that none is an anchor.

They are no secret, and go on counting in every number; a revision that was fixed earlier tells them. What stood beside
them is hidden with them, and of the gaps that rest on them their number is left.
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
from checks.state.entries import Cause
from checks.state.live import State
from checks.state.records import Records

GONE = ("to_confirm", "confirmed")
"""Records that say something of the earlier answer alone."""

Key = TypeVar("Key")
Kept = TypeVar("Kept")


def hides(now: State, person: Person) -> bool:
    """Whether a fresh start hides answers from a person: somebody of a team, in whatever other role besides."""
    return bool(now.records.anew) and not person.roles.isdisjoint(TEAM)


def to_give(now: State, system: str) -> list[Asked]:
    """Answers of a system that are to be given anew."""
    held = basis.scope(now.plant, now.assessment.links, system).addressees
    return [asked for asked in now.records.anew if asked[1] in held]


def hidden(now: State) -> State:
    """The state without the answers that a fresh start hides."""
    anew = now.records.anew
    return replace(
        now,
        assessment=Afresh(now.assessment, anew),
        stored=_but(anew, now.stored),
        replaced=_but(anew, now.replaced),
        records=_records(now.records),
    )


def as_shown(now: State) -> Assessment:
    """The assessment of the answers that a state shows alone: what it hides counts as not known.

    What an answer would do to it tells nothing of the hidden ones.
    """
    asked = (one for one in now.records.anew if one not in now.stored)
    unknown = [Answer(question=question, of=of, value="unknown") for question, of in asked]
    return now.assessment.with_answers(unknown) if unknown else now.assessment


def _but(gone: Iterable[Key], held: Mapping[Key, Kept]) -> dict[Key, Kept]:
    kept = dict(held)  # copying whole and dropping beats asking of each of many thousands
    for key in gone:
        kept.pop(key, None)
    return kept


def _records(full: Records) -> Records:
    """The records without what was recorded before the fresh start beside the answers that it hides."""
    since = {asked: cause.seq for asked, cause in full.anew.items()}
    told: dict[str, Any] = {name: _but(full.anew, getattr(full, name)) for name in GONE}
    told["evidence"] = _later(full.evidence, since, lambda one: one.number)
    told["withdrawn"] = _later(full.withdrawn, since, lambda one: one[1].number)
    told["dissents"] = _later(full.dissents, since, lambda one: one.cause.seq)
    told["private"] = _later(full.private, since, lambda one: one.last)
    return replace(full, **told)


def _later(held: Mapping[Asked, tuple[Any, ...]], since: Mapping[Asked, int], number: Any) -> dict[Asked, Any]:
    """Of each answer that is hidden what was recorded since; ``number`` is that of its event."""
    return {
        asked: several if asked not in since else tuple(one for one in several if number(one) > since[asked])
        for asked, several in held.items()
    }


class Afresh(Assessment):
    """An assessment whose results hide answers, each when it is first asked for; every figure stays.

    What follows from further answers is asked of the whole one: it is looked at for its figures alone.
    """

    def __init__(self, full: Assessment, anew: Mapping[Asked, Cause]) -> None:
        super().__init__(full.plant, full.answers, links=full.links, editions=full.editions)
        self._full, self._anew = full, anew
        self._of = {of for _, of in anew}

    def with_answers(self, more: Iterable[Answer]) -> Assessment:
        """The assessment with further answers on top."""
        return self._full.with_answers(more)

    def without_answer(self, question: str, of: str) -> Assessment:
        """The assessment as if this answer had not been given."""
        return self._full.without_answer(question, of)

    def _gone(self, held: ByQuestion) -> list[str]:
        """Questions whose answer is hidden."""
        return [name for name, one in held.items() if one.of in self._of and (one.question, one.of) in self._anew]

    def _assess_group(self, key: str) -> GroupResult:
        full = self._full.group(key)
        gone = self._gone(full.held)
        if not gone:
            return full
        asked = self.questioned(key)
        return replace(
            full, held=_but(gone, full.held), unanswered=full.unanswered + sum(name in asked for name in gone)
        )

    def _assess_function(self, key: str) -> FunctionResult:
        full = self._full.function(key)
        return replace(full, groups=tuple(self.group(one.id) for one in full.groups))

    def _assess_zone(self, key: str) -> ZoneResult:
        full = self._full.zone(key)
        gone = self._gone(full.held)
        told = tuple(one for one in full.gaps if one.question not in gone)
        left = (HIDDEN,) * (len(full.gaps) - len(told))
        return replace(full, held=_but(gone, full.held), gaps=told + left) if gone else full
