"""From events to what holds: each event read once, in order.

``Fold`` knows what a revision rests on and voids it when that changes; the parts keep what stands beside an answer,
what the owner did, and what is to be taken up again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from hashlib import sha256
from typing import Any

from checks import plant_file
from checks.answers import Answers
from checks.assess import Assessment
from checks.plant import Plant
from checks.record import basis
from checks.record.again import Again
from checks.record.beside import Beside
from checks.record.held import Asked, Cause, Records, Revision, Signature, cause_of
from checks.record.journal import Event
from checks.record.owned import Owned

TOLD = ("value", "evidence", "note")
"""What of an answer counts: another author or day alone changes no result."""
VOIDS = {
    "evidence": "evidence was added to {question} of {of}",
    "evidence-withdrawn": "evidence of {question} of {of} no longer holds",
    "dissent": "a dissent on {question} of {of}",
    "dissent-closed": "the dissent on {question} of {of} was settled",
}
"""Kinds that change how an answer speaks, and what to say of it."""


def plant_of(event: Event) -> Plant:
    """The plant of an event that holds plant data."""
    return plant_file.from_text(f"event {event.seq}", event.content["text"])


class Fold:
    """Takes events one by one; ``records()`` is what they come to so far."""

    def __init__(self) -> None:
        self._data: Event | None = None
        self._assessment: Assessment | None = None
        self._answers: dict[Asked, tuple[str, ...]] = {}
        self._revisions: dict[str, tuple[Revision, ...]] = {}
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
            for system in self._live():
                if system in body["systems"]:
                    self._void(system, cause_of(event, body["what"]))

    def records(self) -> Records:
        """What holds after the events so far; never changes afterwards."""
        held = {**self._beside.held(), **self._owned.held(), **self._again.held()}
        return Records(revisions=dict(self._revisions), **held)

    def _live(self) -> list[str]:
        """Systems whose latest revision still stands."""
        return [key for key, held in self._revisions.items() if held[-1].voided is None]

    def _present(self) -> Assessment:
        """The plant without answers, for what belongs to whom; read only where a revision could be touched."""
        if self._assessment is None:
            if self._data is None:
                raise ValueError("a journal begins with plant data")
            self._assessment = Assessment(plant_of(self._data), Answers())
        return self._assessment

    def _touches(self, system: str, of: str) -> bool:
        now = self._present()
        return system not in now.plant.systems or of in basis.scope(now.plant, now.links, system).addressees

    def _void(self, system: str, cause: Cause) -> None:
        *earlier, last = self._revisions[system]
        self._revisions[system] = (*earlier, replace(last, voided=cause))

    def _void_by(self, of: str, cause: Cause) -> None:
        for system in self._live():
            if self._touches(system, of):
                self._void(system, cause)

    def _plant_data(self, event: Event, _body: Mapping[str, Any]) -> None:
        live = self._live()
        before = {key: _data(self._present(), key) for key in live}
        self._data, self._assessment = event, None
        for key in live:
            if _data(self._present(), key) != before[key]:
                self._void(key, cause_of(event, "its plant data changed"))

    def _answer(self, event: Event, body: Mapping[str, Any]) -> None:
        asked, told = (body["question"], body["of"]), tuple(body[name] for name in TOLD)
        before = self._answers.get(asked)
        self._answers[asked] = told
        self._again.answered(asked)
        if before != told:
            what = f"{body['question']} of {body['of']} was answered {body['value']}"
            self._void_by(body["of"], cause_of(event, what))

    def _revision(self, event: Event, body: Mapping[str, Any]) -> None:
        key, fixed = body["system"], sha256(event.body.encode()).hexdigest()  # the body is canonical: basis.hash_of
        new = Revision(key, body["number"], fixed, body["facts"]["banks"], cause_of(event, "revision"))
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
        if len(self._of(body).signatures) > 1:
            self._revisions[body["system"]] = tuple(
                replace(held, followed=True) if held.number < body["number"] and len(held.signatures) > 1 else held
                for held in self._revisions[body["system"]]
            )


def _data(assessment: Assessment, system: str) -> Mapping[str, Any] | None:
    """What a system rests on beside its answers; None where the plant no longer has it."""
    return basis.facts(assessment, system) if system in assessment.plant.systems else None
