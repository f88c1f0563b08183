"""From events to what holds: each event read once, in order.

``Fold`` knows what a revision rests on and voids it when that changes; the parts keep what stands beside an answer,
what the owner did, and what is to be taken up again.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from hashlib import sha256
from itertools import takewhile
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.journal.event import Event
from checks.journal.stored import plant_of
from checks.plantfile.plant import Asked
from checks.revision import basis
from checks.state.entries import Cause, Revision, Signature, cause_of
from checks.state.evidence import Beside
from checks.state.owner_records import Owned
from checks.state.records import Records
from checks.state.reopened import Again, in_words
from checks.state.voiding import TOLD, VOIDS

MOST_BETWEEN = 10_000
"""Changes that are kept in mind for a revision whose facts were read just before them."""


class Fold:
    """Takes events one by one; ``records()`` is what they come to so far.

    ``assessment`` tells what belongs to whom where the plant data themselves are sealed.
    """

    def __init__(self, assessment: Assessment | None = None) -> None:
        self._data: Event | None = None
        self._assessment = assessment
        self._answers: dict[Asked, tuple[str, ...]] = {}
        self._revisions: dict[str, tuple[Revision, ...]] = {}
        self._late: deque[tuple[Cause, Callable[[str], bool]]] = deque(maxlen=MOST_BETWEEN)
        self._beside, self._owned, self._again = Beside(), Owned(), Again()
        self._take: dict[str, Callable[[Event, Mapping[str, Any]], None]] = {
            **self._beside.take,
            **self._owned.take,
            **self._again.take,
            "plant-data": self._plant_data,
            "answer": self._answer,
            "revision": self._revision,
            "sent-back": self._sent_back,
            "signature": self._signature,
        }

    def add(self, event: Event) -> None:
        """Take the next event. Kinds that change nothing here, such as exports, are passed over."""
        taker = self._take.get(event.kind)
        if taker is None:
            return
        body = event.content
        taker(event, body)
        if event.kind in VOIDS:
            self._void_by(body["of"], cause_of(event, VOIDS[event.kind].format(**body)))
        elif event.kind == "change":
            self._changed(cause_of(event, in_words(body)), frozenset(body["systems"]).__contains__)

    def records(self) -> Records:
        """What holds after the events so far; never changes afterwards."""
        held = {**self._beside.held(), **self._owned.held(), **self._again.held()}
        return Records(revisions=dict(self._revisions), **held)

    def present(self) -> Assessment:
        """The latest plant without answers, for what belongs to whom; read once, and only when it is asked for."""
        if self._assessment is None:
            if self._data is None:
                raise ValueError("a journal begins with plant data")
            self._assessment = Assessment(plant_of(self._data), Answers())
        return self._assessment

    def _touches(self, system: str, of: str) -> bool:
        now = self.present()
        return system not in now.plant.systems or of in basis.scope(now.plant, now.links, system).addressees

    def _changed(self, cause: Cause, concerns: Callable[[str], bool]) -> None:
        """Void the latest revision of each system that a change concerns."""
        self._late.append((cause, concerns))
        for system, (*earlier, last) in self._revisions.items():
            if last.voided is None and concerns(system):
                self._revisions[system] = (*earlier, replace(last, voided=cause))

    def _void_by(self, of: str, cause: Cause) -> None:
        self._changed(cause, partial(self._touches, of=of))

    def _plant_data(self, event: Event, _body: Mapping[str, Any]) -> None:
        before, known = self._data, self._assessment
        self._data, self._assessment = event, None
        if before is not None:
            self._changed(cause_of(event, "its plant data changed"), partial(self._differs, before, known, event))

    def _differs(self, before: Event, known: Assessment | None, after: Event, system: str) -> bool:
        old = known or Assessment(plant_of(before), Answers())
        new = self.present() if after is self._data else Assessment(plant_of(after), Answers())
        return _data(old, system) != _data(new, system)

    def _answer(self, event: Event, body: Mapping[str, Any]) -> None:
        asked, told = (body["question"], body["of"]), tuple(body[name] for name in TOLD)
        before = self._answers.get(asked)
        self._answers[asked] = told
        self._again.answered(asked)
        if before != told:
            what = f"{body['question']} of {body['of']} was answered {body['value']}"
            self._void_by(body["of"], cause_of(event, what))

    def _revision(self, event: Event, body: Mapping[str, Any]) -> None:
        key, read = body["system"], body["journal"]["events"]
        # Somebody may have changed something between the reading of the facts and this event.
        since = takewhile(lambda one: one[0].seq > read, reversed(self._late))
        late = next((cause for cause, concerns in since if concerns(key)), None)
        banks, cause = body["facts"]["banks"], cause_of(event, "revision")
        fixed = sha256(event.body.encode()).hexdigest()  # the body is canonical: basis.hash_of
        new = Revision(key, body["number"], fixed, banks, cause, voided=late)
        self._revisions[key] = (*self._revisions.get(key, ()), new)

    def _at(self, body: Mapping[str, Any], **changes: Any) -> None:
        """Change what is held of one revision."""
        held = self._revisions[body["system"]]
        self._revisions[body["system"]] = tuple(
            replace(one, **changes) if one.number == body["number"] else one for one in held
        )

    def _of(self, body: Mapping[str, Any]) -> Revision:
        return next(one for one in self._revisions[body["system"]] if one.number == body["number"])

    def _sent_back(self, event: Event, body: Mapping[str, Any]) -> None:
        told = (body["comments"], cause_of(event, f"sent back by the {body['half']} half"))
        self._at(body, comments=(*self._of(body).comments, told))

    def _signature(self, event: Event, body: Mapping[str, Any]) -> None:
        half = body["half"]
        cause = cause_of(event, f"{half} half signed")
        one = Signature(half, body["key"], body["statement"], body["signature"], cause)
        self._at(body, signatures={**self._of(body).signatures, half: one})


def _data(assessment: Assessment, system: str) -> Mapping[str, Any] | None:
    """What a system rests on beside its answers; None where the plant no longer has it."""
    return basis.facts(assessment, system) if system in assessment.plant.systems else None
