"""From events to what holds: each event read once, in order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from checks import plant_file
from checks.answers import Answers
from checks.assess import Assessment
from checks.plant import Plant
from checks.record import basis
from checks.record.held import (
    Accepted,
    Asked,
    Cause,
    Dissent,
    Evidence,
    Key,
    Present,
    Records,
    Revision,
    Signature,
)
from checks.record.journal import Event

TOLD = ("value", "evidence", "note")
"""What of an answer counts: another author or day alone changes no result."""


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
        self._keys: dict[str, Key] = {}
        self._evidence: dict[Asked, tuple[Evidence, ...]] = {}
        self._dissents: dict[Asked, tuple[Dissent, ...]] = {}
        self._accepted: dict[tuple[str, str, str], Accepted] = {}
        self._attended: dict[str, tuple[Present, ...]] = {}
        self._to_confirm: dict[Asked, Cause] = {}
        self._intervals: dict[str, int] = {}
        self._changes: tuple[Cause, ...] = ()
        self._take: Mapping[str, Callable[[Event, Mapping[str, Any]], None]] = {
            "plant-data": self._plant_data,
            "answer": self._answer,
            "confirmed": self._confirmed,
            "evidence": self._evidence_seen,
            "evidence-withdrawn": self._evidence_withdrawn,
            "dissent": self._dissent,
            "dissent-closed": self._dissent_closed,
            "attendance": self._attendance,
            "revision": self._revision,
            "sent-back": self._sent_back,
            "signature": self._signature,
            "gap-accepted": self._gap_accepted,
            "key": self._key,
            "key-withdrawn": self._key_withdrawn,
            "change": self._change,
            "interval": self._interval,
        }

    def add(self, event: Event) -> None:
        """Take the next event. Kinds that change nothing here, such as exports, are passed over."""
        taker = self._take.get(event.kind)
        if taker is not None:
            taker(event, event.content)

    def records(self) -> Records:
        """What holds after the events so far; never changes afterwards."""
        return Records(
            revisions=dict(self._revisions),
            keys=dict(self._keys),
            evidence=dict(self._evidence),
            dissents=dict(self._dissents),
            accepted=dict(self._accepted),
            attended=dict(self._attended),
            to_confirm=dict(self._to_confirm),
            intervals=dict(self._intervals),
            changes=self._changes,
        )

    # What voids a revision: a changed fact that it rests on.

    def _live(self) -> list[str]:
        """Systems whose latest revision still stands."""
        return [key for key, held in self._revisions.items() if held[-1].voided is None]

    def _bare(self, event: Event) -> Assessment:
        """The plant of an event without answers, for what belongs to whom."""
        return Assessment(plant_of(event), Answers())

    def _present(self) -> Assessment:
        if self._assessment is None:
            if self._data is None:
                raise ValueError("a journal begins with plant data")
            self._assessment = self._bare(self._data)
        return self._assessment

    def _touches(self, system: str, of: str) -> bool:
        if self._data is None:
            return True  # a record seals plant data, and shows events of its own system only
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
                self._void(key, _cause(event, "its plant data changed"))

    def _answer(self, event: Event, body: Mapping[str, Any]) -> None:
        asked, told = (body["question"], body["of"]), tuple(body[name] for name in TOLD)
        before = self._answers.get(asked)
        self._answers[asked] = told
        self._to_confirm.pop(asked, None)
        if before != told:
            self._void_by(body["of"], _cause(event, f"{body['question']} of {body['of']} was answered {body['value']}"))

    def _confirmed(self, _event: Event, body: Mapping[str, Any]) -> None:
        for one in body["answers"]:
            self._to_confirm.pop((one["question"], one["of"]), None)

    def _change(self, event: Event, body: Mapping[str, Any]) -> None:
        cause = _cause(event, f"{body['reference']}: {body['what']}" if body["reference"] else body["what"])
        self._changes = (*self._changes, cause)
        for one in body["reopened"]:
            self._to_confirm[one["question"], one["of"]] = cause
        for system in self._live():
            if system in body["systems"]:
                self._void(system, cause)

    # What stands beside an answer.

    def _evidence_seen(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        fields = {name: body[name] for name in Evidence.__slots__ if name not in ("number", "by")}
        self._evidence[asked] = (*self._evidence.get(asked, ()), Evidence(number=event.seq, by=event.by, **fields))
        self._void_by(body["of"], _cause(event, f"evidence was added to {body['question']} of {body['of']}"))

    def _evidence_withdrawn(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        self._evidence[asked] = tuple(one for one in self._evidence[asked] if one.number != body["evidence"])
        self._void_by(body["of"], _cause(event, f"evidence of {body['question']} of {body['of']} no longer holds"))

    def _dissent(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        fields = {name: body[name] for name in ("value", "who", "role", "reason", "settles")}
        one = Dissent(cause=_cause(event, "dissent"), last=event.seq, **fields)
        kept = (held for held in self._dissents.get(asked, ()) if held.closed or held.who != one.who)
        self._dissents[asked] = (*kept, one)
        self._void_by(body["of"], _cause(event, f"a dissent on {body['question']} of {body['of']}"))

    def _dissent_closed(self, event: Event, body: Mapping[str, Any]) -> None:
        asked = body["question"], body["of"]
        self._dissents[asked] = tuple(
            replace(one, closed=body["evidence"], last=event.seq) if one.who == body["who"] and not one.closed else one
            for one in self._dissents[asked]
        )
        self._void_by(body["of"], _cause(event, f"the dissent on {body['question']} of {body['of']} was settled"))

    def _attendance(self, _event: Event, body: Mapping[str, Any]) -> None:
        came = (Present(one["name"], one["role"], body["on"]) for one in body["people"])
        self._attended[body["system"]] = (*self._attended.get(body["system"], ()), *came)

    # Reviews.

    def _revision(self, event: Event, body: Mapping[str, Any]) -> None:
        key = body["system"]
        new = Revision(key, body["number"], basis.hash_of(body), body["facts"]["banks"], _cause(event, "revision"))
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
        told = (body["comments"], _cause(event, f"sent back by the {body['half']} half"))
        self._at(body, comments=(*self._of(body).comments, told))

    def _signature(self, event: Event, body: Mapping[str, Any]) -> None:
        one = Signature(
            body["half"],
            body["key"],
            body["statement"],
            body["signature"],
            _cause(event, f"{body['half']} half signed"),
        )
        self._at(body, signatures={**self._of(body).signatures, one.half: one})
        if len(self._of(body).signatures) > 1:
            self._revisions[body["system"]] = tuple(
                replace(held, followed=True) if held.number < body["number"] and len(held.signatures) > 1 else held
                for held in self._revisions[body["system"]]
            )

    def _gap_accepted(self, event: Event, body: Mapping[str, Any]) -> None:
        one = Accepted(body["zone"], body["question"], body["reason"], body["until"], _cause(event, "gap accepted"))
        self._accepted[body["system"], one.zone, one.question] = one

    def _key(self, event: Event, body: Mapping[str, Any]) -> None:
        cause = _cause(event, "key enrolled")
        self._keys[body["key"]] = Key(body["key"], body["public"], body["name"], tuple(body["roles"]), cause)

    def _key_withdrawn(self, _event: Event, body: Mapping[str, Any]) -> None:
        held = self._keys[body["key"]]
        self._keys[body["key"]] = replace(held, withdrawn=body["from"], why=body["reason"])

    def _interval(self, _event: Event, body: Mapping[str, Any]) -> None:
        self._intervals[body["system"]] = body["months"]


def _cause(event: Event, what: str) -> Cause:
    return Cause(event.seq, event.at, event.by, what)


def _data(assessment: Assessment, system: str) -> Mapping[str, Any] | None:
    """What a system rests on beside its answers; None where the plant no longer has it."""
    return basis.facts(assessment, system) if system in assessment.plant.systems else None
