"""The reported revision: the data that both printed documents are made from.

Details of the security half appear in the annex only. This module alone decides what belongs to that half.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult, GroupResult, ZoneResult
from checks.events.answering import answer
from checks.events.plant import change
from checks.journal.event import Event
from checks.plantfile.plant import Answer, Asked, Plant
from checks.questions.bank import banks
from checks.reassessment.kinds_of_change import kinds
from checks.record_files.record_file import Record
from checks.revision import basis
from checks.revision.basis import Scope
from checks.signoff.signers import HALVES
from checks.state.records import Records
from checks.state.revision_status import Cause, Revision, cause_of
from checks.state.standing import Standing, of_revision
from pages.presentation.wording import titled

Entry = Mapping[str, Any]


def of_security(question: str) -> bool:
    """Whether an answer to a question belongs to the security half."""
    known = banks().questions.get(question)
    return known is not None and known.bank in HALVES["security"]


PROGRAMS = "T10"
"""The common-cause topic of programs and settings, which kinds of change that concern security touch as well."""


def of_security_change(change: change.Body) -> bool:
    """Whether a change belongs to the security half: it touches a zone, or by its kind security topics alone."""
    kind = kinds().get(change.kind)
    security_alone = kind is not None and bool(kind.cyber) and set(kind.common_cause) <= {PROGRAMS}
    return security_alone or any(of.startswith("zone:") for of in change.touched)


@dataclass(frozen=True)
class ReportedRevision:
    """One revision with its audit trail and its stored results."""

    record: Record
    records: Records
    revision: Revision
    body: Entry
    assessment: Assessment
    scope: Scope

    @property
    def plant(self) -> Plant:
        """The part of the plant that belongs to the system."""
        return self.assessment.plant

    @property
    def system(self) -> str:
        """Id and name of the safety system."""
        return titled(self.scope.system, self.plant.systems[self.scope.system].name)

    @cached_property
    def functions(self) -> list[FunctionResult]:
        """Functions of the system, the worst margin first."""
        return self.assessment.functions()

    @cached_property
    def groups(self) -> list[GroupResult]:
        """Groups used by the functions."""
        return [self.assessment.group(key) for key in self.scope.groups]

    @cached_property
    def zones(self) -> list[ZoneResult]:
        """Zones that contain these groups."""
        return [self.assessment.zone(key) for key in self.scope.zones]

    @cached_property
    def names(self) -> dict[str, str]:
        """Names of functions and groups by id."""
        groups = {key: group.name for key, group in self.plant.groups.items()}
        return {**groups, **{key: function.name for key, function in self.plant.functions.items()}}

    def answers(self, of: str, *, security: bool) -> list[Answer]:
        """Answers of one half given for exactly this addressee, in the order of the question banks."""
        order = list(banks().questions)
        selected = [
            answer for answer in self.assessment.answers.of(of).values() if of_security(answer.question) == security
        ]
        return sorted(selected, key=lambda answer: order.index(answer.question))

    @cached_property
    def evidence(self) -> Mapping[Asked, list[Entry]]:
        """Recorded evidence by answer."""
        by_answer: dict[Asked, list[Entry]] = {}
        for item in self.body["evidence"]:
            by_answer.setdefault((item["question"], item["of"]), []).append(item)
        return by_answer

    def standing(self, day: date) -> Standing:
        """The standing of the revision on a day."""
        return of_revision(self.records, self.revision, day, self.assessment.editions.bank_scores)

    @cached_property
    def confirmed(self) -> Mapping[Asked, Cause]:
        """Who last confirmed an answer after it was given and before the revision, by answer."""
        return self.record.records(self.revision.cause.seq).confirmed

    @cached_property
    def entered(self) -> Mapping[Asked, Cause]:
        """Who entered an answer of the revision, by answer; none where the record does not show its event."""
        entries: dict[Asked, Cause] = {}
        for event in self.record.events:
            if event.kind == answer.Body.KIND and event.seq <= self.revision.cause.seq:
                body = answer.Body.read(event)
                given = self.assessment.answers.get(*body.asked)
                if given is not None and given.by == body.by and answer.same_answer(body, given):
                    entries[body.asked] = cause_of(event, "entered")
        return entries

    def of_half(self, block: str, *, security: bool) -> list[Entry]:
        """Entries of one half in a block of the revision: evidence, dissents or to_confirm."""
        return [entry for entry in self.body[block] if of_security(entry["question"]) == security]

    def event(self, number: int) -> Event | None:
        """An event of the journal; None if it is sealed."""
        return next((event for event in self.record.events if event.seq == number), None)

    @cached_property
    def history(self) -> tuple[ReportedRevision, ...]:
        """Revisions of the system in the record, in order, up to and including this one; never a later one."""
        return (*_earlier_revisions(self), self)


def reported_revision(record: Record) -> ReportedRevision:
    """The revision of a verified record."""
    records = record.records()
    revision = next(revision for revision in records.revisions[record.system] if revision.number == record.number)
    return _reported(record, records, revision, record.revision)


def last_signed_before(reported: ReportedRevision) -> ReportedRevision | None:
    """The last earlier revision with both signatures; None if the record contains none."""
    return next(
        (revision for revision in reversed(reported.history[:-1]) if reported.records.complete(revision.revision)), None
    )


def _earlier_revisions(reported: ReportedRevision) -> Iterator[ReportedRevision]:
    for revision in reported.records.revisions[reported.scope.system]:
        event = reported.event(revision.cause.seq)
        if revision.number < reported.revision.number and event is not None:
            yield _reported(reported.record, reported.records, revision, event.content)


def _reported(record: Record, records: Records, revision: Revision, body: Entry) -> ReportedRevision:
    assessment = basis.revision_assessment(body)
    scope = basis.scope(assessment.plant, assessment.links, body["system"])
    return ReportedRevision(record, records, revision, body, assessment, scope)
