"""Records of a session besides its answers: attendance, evidence, dissents, private answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checks.access.names import comparable, same, token
from checks.access.roles import Person
from checks.events.answering import dissent as dissents
from checks.events.answering import dissent_closure, evidence, evidence_withdrawal, private_answer
from checks.events.answering import reveal as reveals
from checks.events.plant import attendance, attendance_corrected
from checks.events.plant.attendance import Attendee
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.plantfile.fields import Value
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.recording import recorder, teams
from checks.recording.field_checks import day_faults, missing, too_little, too_long
from checks.state.evidence import Present
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused

EVIDENCE_KINDS = ("document", "record", "photo of a walkdown", "configuration export", "test result", "interview")
STRENGTHS = (
    "none",
    "a statement",
    "a procedure exists",
    "a record shows it done once",
    "records over the whole interval",
    "seen on the plant or tested",
)
"""Strength 0 to 5 of a piece of evidence (house rule)."""
MOST_ATTENDEES = 100
"""Most people of one session (house rule)."""
VALUES: tuple[str, ...] = Value.__args__  # type: ignore[attr-defined]


def record_attendance(live: Live, person: Person, *, system: str, on: str, people: Sequence[tuple[str, str]]) -> Event:
    """Record attendance at a session of a system: ``people`` as pairs of name and role, ``on`` as ISO date.

    Raises NotAllowed and Refused.
    """
    person.require(attendance.Body.PERMISSION)
    attendees = [Attendee(name=" ".join(name.split()), role=role.strip()) for name, role in people if name.strip()]
    faults = day_faults("on", on)
    if not 0 < len(attendees) <= MOST_ATTENDEES:
        found = f"{len(attendees)} people" if attendees else "nobody is named"
        faults.append(Fault("people", found, f"name at least one person, at most {MOST_ATTENDEES}"))
    if system not in live.state().plant.systems:
        faults.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
    texts = [text for attendee in attendees for text in (attendee.name, attendee.role)]
    faults += [fault for text in texts for fault in too_long("people", text, 200)]
    if faults:
        raise Refused("attendance", faults)
    return recorder.record(live, person, attendance.Body(system=system, on=on, people=tuple(attendees)))


def correct_attendance(live: Live, person: Person, *, system: str, on: str, name: str, reason: str) -> Event:
    """Record that somebody did not attend although an entry says so; the entry stays in the journal.

    Raises NotAllowed and Refused.
    """
    person.require(attendance_corrected.Body.PERMISSION)
    entries = live.state().records.attended.get(system, ())
    faults = missing("reason", reason, "say how the wrong entry came about") + too_long("reason", reason)
    if not any(entry.on == on and same(entry.name, name) for entry in entries):
        faults.append(Fault("name", f"{name or 'nobody'} is not recorded for {on}", "choose an entry of the list"))
    if faults:
        raise Refused("attendance", faults)
    body = attendance_corrected.Body(system=system, name=name, on=on, reason=reason.strip())
    return recorder.record(live, person, body)


def last_attendance(attended: Sequence[Present]) -> list[Present]:
    """The people of the latest session, each once: those who are probably in the next one."""
    latest = max((entry.on for entry in attended), default="")
    return list({comparable(entry.name): entry for entry in attended if entry.on == latest}.values())


def add_evidence(live: Live, person: Person, asked: Asked, fields: Mapping[str, Any]) -> Event:
    """Record a piece of evidence for an answer.

    ``fields``: kind, identifier, revision, dated, shows, strength (0 to 5), valid_until (a date) or until_event.
    Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, evidence.Body.PERMISSION, [asked[1]])
    texts = {name: str(fields.get(name, "")).strip() for name in TEXTS}
    strength = fields.get("strength")
    faults = [fault for name in ("dated", "valid_until") if texts[name] for fault in day_faults(name, texts[name])]
    faults += too_little("identifier", texts["identifier"], "document number or name", letters=2)
    faults += too_little("shows", texts["shows"], "what it shows, in one line", words=2)
    faults += [fault for name in TEXTS for fault in too_long(name, texts[name])]
    if texts["kind"] not in EVIDENCE_KINDS:
        faults.append(Fault("kind", f"found {texts['kind']!r}", f"allowed: {', '.join(EVIDENCE_KINDS)}"))
    if type(strength) is not int or not 0 <= strength < len(STRENGTHS):
        faults.append(Fault("strength", f"found {strength!r}", "a whole number from 0 to 5"))
    faults += _answered(state, asked)
    if faults:
        raise Refused("evidence", faults)
    body = evidence.Body(question=asked[0], of=asked[1], strength=int(strength or 0), **texts)
    return recorder.record(live, person, body)


TEXTS = ("kind", "identifier", "revision", "dated", "shows", "valid_until", "until_event")


def withdraw_evidence(live: Live, person: Person, asked: Asked, *, number: int, reason: str) -> Event:
    """Withdraw a piece of evidence, such as after the event that ends its validity.

    ``number`` is that of the event that recorded it. Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, evidence_withdrawal.Body.PERMISSION, [asked[1]])
    faults = missing("reason", reason, "give the reason") + too_long("reason", reason)
    if number not in [piece.number for piece in state.records.evidence.get(asked, ())]:
        faults.append(Fault("evidence", f"{number} does not belong to this answer", "choose one of the list"))
    if faults:
        raise Refused("evidence", faults)
    body = evidence_withdrawal.Body(question=asked[0], of=asked[1], evidence=number, reason=reason.strip())
    return recorder.record(live, person, body, slot=f"evidence {number}")


def record_dissent(live: Live, person: Person, asked: Asked, fields: Mapping[str, str]) -> Event:
    """Record a member's dissenting answer beside the adopted one.

    ``fields``: value, who, role, reason, settles (what evidence would settle it). While the dissent is open the worse
    of the two answers is used. Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, dissents.Body.PERMISSION, [asked[1]])
    texts = {name: str(fields.get(name, "")).strip() for name in ("value", "who", "role", "reason", "settles")}
    faults = missing("who", texts["who"], "name of the dissenter") + missing(
        "reason", texts["reason"], "why, in a sentence"
    )
    faults += missing("settles", texts["settles"], "what evidence would settle it")
    faults += [fault for name, text in texts.items() for fault in too_long(name, text)] + _answered(state, asked)
    wrong = _wrong_value(asked, texts["value"])
    if wrong:
        faults += wrong
    elif asked in state.stored and state.stored[asked].answer.value == texts["value"]:
        faults.append(Fault("value", f"{texts['value']} is the adopted answer", "a dissent is another answer"))
    if faults:
        raise Refused("dissent", faults)
    slot, follows = _slot(state, asked, texts["who"])
    body = dissents.Body(question=asked[0], of=asked[1], **texts)
    return recorder.record(live, person, body, slot=slot, follows=follows)


def close_dissent(live: Live, person: Person, asked: Asked, *, shown_by: str, who: str = "", number: int = 0) -> Event:
    """Close a dissent with the evidence that settled it, in words; the dissent is kept.

    It is identified by the dissenter (``who``) or by the ``number`` of its event, since not everybody who may settle it
    sees the name. Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, dissent_closure.Body.PERMISSION, [asked[1]])
    open_dissents = [dissent for dissent in state.records.dissents.get(asked, ()) if not dissent.closed]
    who = next((dissent.who for dissent in open_dissents if dissent.cause.seq == number), who)
    faults = missing("evidence", shown_by, "only evidence settles a dissent") + too_long("evidence", shown_by)
    if not any(same(dissent.who, who) for dissent in open_dissents):
        faults.append(Fault("who", f"{who!r} has no open dissent here", "choose one of the list"))
    if faults:
        raise Refused("dissent", faults)
    slot, follows = _slot(state, asked, who)
    body = dissent_closure.Body(question=asked[0], of=asked[1], who=who, evidence=shown_by.strip())
    return recorder.record(live, person, body, slot=slot, follows=follows)


def _slot(state: State, asked: Asked, who: str) -> tuple[str, int]:
    """Slot of one member's dissent on one answer, and the number of its last event; 0 for none."""
    numbers = [dissent.last for dissent in state.records.dissents.get(asked, ()) if same(dissent.who, who)]
    return f"dissent {asked[1]} {asked[0]} {comparable(who)}"[:240], max(numbers, default=0)


def _answered(state: State, asked: Asked) -> list[Fault]:
    if asked in state.stored:
        return []
    return [Fault("question", f"{asked[0]} of {asked[1]} has no answer yet", "answer it first")]


def _wrong_value(asked: Asked, value: str) -> list[Fault]:
    """Faults of a value as an answer to a question."""
    question = banks().questions.get(asked[0])
    allowed = VALUES if question is None else question.answers
    return [] if value in allowed else [Fault("value", f"found {value!r}", f"allowed: {', '.join(allowed)}")]


def answer_privately(live: Live, person: Person, asked: Asked, *, value: str, note: str = "") -> Event:
    """Record a private answer before the meeting; nobody else sees it before it is revealed.

    Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, private_answer.Body.PERMISSION, [asked[1]])
    faults = too_long("note", note)
    if not person.name.strip():
        faults.append(Fault("name", "missing", "enter your name at the top right: a private answer needs one"))
    faults += _wrong_value(asked, value)
    if faults:
        raise Refused("private answer", faults)
    whose = token(person.name, person.identity)
    follows = next((answer.last for answer in state.records.private.get(asked, ()) if answer.whose == whose), 0)
    body = private_answer.Body(question=asked[0], of=asked[1], who=person.name, value=value, note=note.strip())
    slot = f"private {asked[1]} {asked[0]} {whose}"[:240]
    return recorder.record(live, person, body, slot=slot, follows=follows)


def reveal(live: Live, person: Person, answers: Sequence[Asked]) -> Event:
    """Reveal the private answers to these questions to everybody at once; raises NotAllowed and Refused."""
    person.require(reveals.Body.PERMISSION)
    private = live.state().records.private
    to_reveal = [asked for asked in answers if any(not answer.revealed for answer in private.get(asked, ()))]
    if not to_reveal:
        raise Refused("reveal", [Fault("answers", "none was given", "let the members answer privately first")])
    return recorder.record(live, person, reveals.Body(answers=named(to_reveal)))


def differing(state: State, answers: Sequence[Asked]) -> list[Asked]:
    """Revealed questions on which members differ: the ones to discuss.

    A reveal counts until the answer is given or confirmed after it, or reopened by a change or the next assessment.
    """
    private = state.records.private
    return [
        asked
        for asked in answers
        if len({answer.value for answer in private.get(asked, ()) if answer.revealed > _last_update(state, asked)}) > 1
    ]


def _last_update(state: State, asked: Asked) -> int:
    """Number of the latest event by which an answer was given, confirmed or reopened; 0 for none."""
    records = state.records
    numbers = (
        causes[asked].seq
        for causes in (records.to_confirm, records.to_answer_again, records.confirmed)
        if asked in causes
    )
    return max(*numbers, state.stored[asked].id if asked in state.stored else 0, 0)
