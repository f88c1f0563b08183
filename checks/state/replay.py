"""Replay of events into records: each event is read once, in order.

``Fold`` knows the basis of each revision and invalidates the revision when its basis changes. Its parts collect what is
recorded beside answers, the records of the asset owner, and what is reopened.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from dataclasses import replace
from functools import partial
from hashlib import sha256
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.events import kinds
from checks.events.answering import answer, answer_taken_back
from checks.events.plant import entry_taken_back, plant_data
from checks.events.signoff import review_comment, revision, sent_back, signature
from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.plantfile.places import value_at
from checks.plantfile.plant import Asked
from checks.revision import basis
from checks.state.evidence import BesideAnswers
from checks.state.invalidations import Invalidation, Invalidations
from checks.state.owner_records import OwnerRecords
from checks.state.records import Records
from checks.state.reopened import Reopened
from checks.state.revision_status import Comment, Revision, Signature, cause_of


class Fold:
    """Replays events one by one; ``records()`` gives the result so far.

    ``assessment`` gives the structure of the plant where the plant data events are sealed.
    """

    def __init__(self, assessment: Assessment | None = None) -> None:
        self._data: Event | None = None
        self._assessment = assessment
        self._answers: dict[Asked, answer.Body] = {}
        self._revisions: dict[str, tuple[Revision, ...]] = {}
        self._invalid = Invalidations(self._revisions)
        self._beside, self._owner, self._reopened = BesideAnswers(), OwnerRecords(), Reopened()
        self._handlers: dict[str, Callable[[Event, Any], None]] = {
            **self._beside.handlers,
            **self._owner.handlers,
            **self._reopened.handlers,
            plant_data.Body.KIND: self._change_plant_data,
            answer.Body.KIND: self._answer,
            answer_taken_back.Body.KIND: self._take_back,
            entry_taken_back.Body.KIND: self._take_back_entry,
            revision.Body.KIND: self._fix_revision,
            sent_back.Body.KIND: self._send_back,
            review_comment.Body.KIND: self._comment,
            signature.Body.KIND: self._sign,
        }

    def add(self, event: Event) -> None:
        """Apply the next event; raises ValueError or LookupError for one that this program never writes.

        Kinds that change nothing here, such as exports, are ignored.
        """
        handler = self._handlers.get(event.kind)
        body = kinds.read(event) if handler else None
        if handler is None or body is None:
            return
        handler(event, body)
        if why := body.invalidates():
            since = body.answer if isinstance(body, answer_taken_back.Body) else 0
            self._invalid.add(Invalidation(cause_of(event, why), partial(self._concerns, body), since))

    def records(self) -> Records:
        """The records after the events so far; immutable."""
        fields = {**self._beside.fields(), **self._owner.fields(), **self._reopened.fields()}
        return Records(revisions=dict(self._revisions), **fields)

    def present(self) -> Assessment:
        """The latest plant without answers, for its structure; read once, on demand. Raises ValueError without plant data."""
        if self._assessment is None:
            if self._data is None:
                raise ValueError("a journal begins with plant data")
            self._assessment = Assessment(plant_data.plant_of(self._data), Answers())
        return self._assessment

    def _concerns(self, body: EventBody, system: str) -> bool:
        """Whether an event concerns a system. For a system the plant no longer has, any addressee may concern it."""
        present = self.present()
        if system not in present.plant.systems:
            return body.concerns(system, _AllAddressees())
        return body.concerns(system, basis.scope(present.plant, present.links, system).addressees)

    def _change_plant_data(self, event: Event, _body: plant_data.Body) -> None:
        before, known = self._data, self._assessment
        self._data, self._assessment = event, None
        if before is not None:
            if waiting := self._reopened.places():
                old = plant_data.plant_of(before) if known is None else known.plant
                new = self.present().plant
                self._reopened.data_settled(place for place in waiting if value_at(old, place) != value_at(new, place))
            cause = cause_of(event, plant_data.INVALIDATES)
            self._invalid.add(Invalidation(cause, partial(self._facts_differ, before, known, event)))

    def _facts_differ(self, before: Event, known: Assessment | None, after: Event, system: str) -> bool:
        old = known or Assessment(plant_data.plant_of(before), Answers())
        new = self.present() if after is self._data else Assessment(plant_data.plant_of(after), Answers())
        return _facts(old, system) != _facts(new, system)

    def _answer(self, event: Event, body: answer.Body) -> None:
        before = self._answers.get(body.asked)
        self._answers[body.asked] = body
        self._reopened.answered(body.asked)
        if why := body.replaces(before):
            self._invalid.add(Invalidation(cause_of(event, why), partial(self._concerns, body)))

    def _take_back_entry(self, _event: Event, body: entry_taken_back.Body) -> None:
        self._reopened.entry_taken_back(body.entry)
        self._invalid.restore(body.entry)

    def _take_back(self, _event: Event, body: answer_taken_back.Body) -> None:
        restored = body.restored()
        if restored is None:
            self._answers.pop(body.asked, None)
        else:
            self._answers[body.asked] = answer.Body(**restored.model_dump())
        self._reopened.taken_back(body.asked)
        self._invalid.restore(body.answer)

    def _fix_revision(self, event: Event, body: revision.Body) -> None:
        # A change may come between the reading of the facts and this event.
        late = self._invalid.since(body.journal.events, body.system, event.seq)
        digest = sha256(event.body.encode()).hexdigest()  # the body is canonical: basis.hash_of
        cause = cause_of(event, "revision")
        fixed = Revision(body.system, body.number, digest, body.facts["banks"], cause, voided=late)
        self._revisions[body.system] = (*self._revisions.get(body.system, ()), fixed)

    def _update(
        self, body: sent_back.Body | review_comment.Body | signature.Body, change: Callable[[Revision], Revision]
    ) -> None:
        """Replace the revision that a body names; raises LookupError where there is none."""
        revisions = self._revisions[body.system]
        if body.number not in {fixed.number for fixed in revisions}:
            raise LookupError(f"no revision {body.number} of {body.system}")
        self._revisions[body.system] = tuple(
            change(fixed) if fixed.number == body.number else fixed for fixed in revisions
        )

    def _send_back(self, event: Event, body: sent_back.Body) -> None:
        cause = cause_of(event, f"sent back by the {body.half} half")
        self._say(body, Comment(body.half, body.comments, cause, sends_back=True))

    def _comment(self, event: Event, body: review_comment.Body) -> None:
        what = f"comment on the {body.half} half" if body.reply_to is None else f"reply to comment {body.reply_to}"
        self._say(body, Comment(body.half, body.text, cause_of(event, what), body.reply_to or 0))

    def _say(self, body: sent_back.Body | review_comment.Body, comment: Comment) -> None:
        self._update(body, lambda fixed: replace(fixed, thread=(*fixed.thread, comment)))

    def _sign(self, event: Event, body: signature.Body) -> None:
        cause = cause_of(event, f"{body.half} half signed")
        signed = Signature(body.half, body.key, body.statement, body.signature, cause)
        self._update(body, lambda fixed: replace(fixed, signatures={**fixed.signatures, body.half: signed}))


class _AllAddressees(Container[str]):
    """A container of all addressees."""

    def __contains__(self, _of: object) -> bool:
        return True


def _facts(assessment: Assessment, system: str) -> Mapping[str, Any] | None:
    """Facts of a system besides its answers and the name of the plant; None where the plant no longer has it.

    A new name of the plant invalidates no revision: the signed one keeps the name that it was signed with.
    """
    if system not in assessment.plant.systems:
        return None
    facts = basis.facts(assessment, system)
    about = {name: value for name, value in facts["plant"]["plant"].items() if name != "name"}
    return {**facts, "plant": {**facts["plant"], "plant": about}}
