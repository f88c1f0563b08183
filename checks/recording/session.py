"""What a session records beside its answers: who attended, evidence, dissents, private answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checks.access.names import plain, same, token
from checks.access.roles import Person
from checks.events.answering import dissent as dissents
from checks.events.answering import dissent_closure, evidence, evidence_withdrawal, private_answer
from checks.events.answering import reveal as reveals
from checks.events.plant import attendance
from checks.events.plant.attendance import Attendee
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.plantfile.plant import Asked, Value
from checks.recording import recorder, teams
from checks.recording.field_checks import day_faults, missing, too_long
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused

KINDS = ("document", "record", "photo of a walkdown", "configuration export", "test result", "interview")
STRENGTHS = (
    "none",
    "a statement",
    "a procedure exists",
    "a record shows it done once",
    "records over the whole interval",
    "seen on the plant or tested",
)
"""Strength 0 to 5 of a piece of evidence (house rule)."""
VALUES: tuple[str, ...] = Value.__args__  # type: ignore[attr-defined]


def attend(live: Live, person: Person, *, system: str, on: str, people: Sequence[tuple[str, str]]) -> Event:
    """Record who attended a session of a system: names and the role each had there."""
    person.must(attendance.Body.PERMISSION)
    attendees = [Attendee(name=" ".join(name.split()), role=role.strip()) for name, role in people if name.strip()]
    wrong = day_faults("on", on)
    if not attendees:
        wrong.append(Fault("people", "nobody is named", "name at least one person"))
    if system not in live.state().plant.systems:
        wrong.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
    texts = [text for attendee in attendees for text in (attendee.name, attendee.role)]
    wrong += [fault for text in texts for fault in too_long("people", text, 200)]
    if wrong:
        raise Refused("attendance", wrong)
    return recorder.record(live, person, attendance.Body(system=system, on=on, people=tuple(attendees)))


def show(live: Live, person: Person, asked: Asked, fields: Mapping[str, Any]) -> Event:
    """Record a piece of evidence for an answer.

    ``fields``: kind, identifier, revision, dated, shows, strength (0 to 5), valid_until (a date) or until_event.
    """
    state = live.state()
    teams.must(state, person, evidence.Body.PERMISSION, [asked[1]])
    texts = {name: str(fields.get(name, "")).strip() for name in TEXTS}
    strength = fields.get("strength")
    wrong = [fault for name in ("dated", "valid_until") if texts[name] for fault in day_faults(name, texts[name])]
    wrong += missing("identifier", texts["identifier"], "document number or name")
    wrong += missing("shows", texts["shows"], "what it shows, in one line")
    wrong += [fault for name in TEXTS for fault in too_long(name, texts[name])]
    if texts["kind"] not in KINDS:
        wrong.append(Fault("kind", f"found {texts['kind']!r}", f"allowed: {', '.join(KINDS)}"))
    if type(strength) is not int or not 0 <= strength < len(STRENGTHS):
        wrong.append(Fault("strength", f"found {strength!r}", "a whole number from 0 to 5"))
    wrong += _answered(state, asked)
    if wrong:
        raise Refused("evidence", wrong)
    body = evidence.Body(question=asked[0], of=asked[1], strength=int(strength or 0), **texts)
    return recorder.record(live, person, body)


TEXTS = ("kind", "identifier", "revision", "dated", "shows", "valid_until", "until_event")


def take_back(live: Live, person: Person, asked: Asked, *, number: int, reason: str) -> Event:
    """Say that a piece of evidence no longer holds, such as after the event until which it was valid.

    ``number`` is that of the event that recorded it.
    """
    state = live.state()
    teams.must(state, person, evidence_withdrawal.Body.PERMISSION, [asked[1]])
    wrong = missing("reason", reason, "give the reason")
    if number not in [piece.number for piece in state.records.evidence.get(asked, ())]:
        wrong.append(Fault("evidence", f"{number} does not belong to this answer", "choose one of the list"))
    if wrong:
        raise Refused("evidence", wrong)
    body = evidence_withdrawal.Body(question=asked[0], of=asked[1], evidence=number, reason=reason.strip())
    return recorder.record(live, person, body, slot=f"evidence {number}")


def dissent(live: Live, person: Person, asked: Asked, fields: Mapping[str, str]) -> Event:
    """Keep a member's answer beside the adopted one.

    ``fields``: value, who, role, reason, settles (what evidence would settle it). While it is open the less
    favourable of the two answers counts.
    """
    state = live.state()
    teams.must(state, person, dissents.Body.PERMISSION, [asked[1]])
    texts = {name: str(fields.get(name, "")).strip() for name in ("value", "who", "role", "reason", "settles")}
    wrong = missing("who", texts["who"], "name of the dissenter") + missing(
        "reason", texts["reason"], "why, in a sentence"
    )
    wrong += missing("settles", texts["settles"], "what evidence would settle it")
    wrong += [fault for name, text in texts.items() for fault in too_long(name, text)] + _answered(state, asked)
    if texts["value"] not in VALUES:
        wrong.append(Fault("value", f"found {texts['value']!r}", f"allowed: {', '.join(VALUES)}"))
    elif asked in state.stored and state.stored[asked].answer.value == texts["value"]:
        wrong.append(Fault("value", f"{texts['value']} is the adopted answer", "a dissent is another answer"))
    if wrong:
        raise Refused("dissent", wrong)
    slot, seen = _slot(state, asked, texts["who"])
    body = dissents.Body(question=asked[0], of=asked[1], **texts)
    return recorder.record(live, person, body, slot=slot, follows=seen)


def settle(live: Live, person: Person, asked: Asked, *, shown_by: str, who: str = "", number: int = 0) -> Event:
    """Close a dissent with the evidence, in words, that settled it; it is kept.

    It is named by ``who`` holds it, or by the ``number`` of its event: not everybody who may settle it sees who.
    """
    state = live.state()
    teams.must(state, person, dissent_closure.Body.PERMISSION, [asked[1]])
    opened = [held for held in state.records.dissents.get(asked, ()) if not held.closed]
    who = next((held.who for held in opened if held.cause.seq == number), who)
    wrong = missing("evidence", shown_by, "only evidence settles a dissent") + too_long("evidence", shown_by)
    if not any(same(held.who, who) for held in opened):
        wrong.append(Fault("who", f"{who!r} has no open dissent here", "choose one of the list"))
    if wrong:
        raise Refused("dissent", wrong)
    slot, seen = _slot(state, asked, who)
    body = dissent_closure.Body(question=asked[0], of=asked[1], who=who, evidence=shown_by.strip())
    return recorder.record(live, person, body, slot=slot, follows=seen)


def _slot(state: State, asked: Asked, who: str) -> tuple[str, int]:
    """Slot of one member's dissent on one answer, and the event that holds there."""
    theirs = [held.last for held in state.records.dissents.get(asked, ()) if same(held.who, who)]
    return f"dissent {asked[1]} {asked[0]} {plain(who)}"[:240], max(theirs, default=0)


def _answered(state: State, asked: Asked) -> list[Fault]:
    if asked in state.stored:
        return []
    return [Fault("question", f"{asked[0]} of {asked[1]} has no answer yet", "answer it first")]


def answer_privately(live: Live, person: Person, asked: Asked, *, value: str, note: str = "") -> Event:
    """Give one's answer before the meeting; nobody else sees it before it is revealed."""
    state = live.state()
    teams.must(state, person, private_answer.Body.PERMISSION, [asked[1]])
    wrong = too_long("note", note)
    if not person.name.strip():
        wrong.append(Fault("name", "missing", "a private answer is yours: say who you are, at the top right"))
    if value not in VALUES:
        wrong.append(Fault("value", f"found {value!r}", f"allowed: {', '.join(VALUES)}"))
    if wrong:
        raise Refused("private answer", wrong)
    whose = token(person.name, person.identity)
    seen = next((given.last for given in state.records.private.get(asked, ()) if given.whose == whose), 0)
    body = private_answer.Body(question=asked[0], of=asked[1], who=person.name, value=value, note=note.strip())
    slot = f"private {asked[1]} {asked[0]} {whose}"[:240]
    return recorder.record(live, person, body, slot=slot, follows=seen)


def reveal(live: Live, person: Person, answers: Sequence[Asked]) -> Event:
    """Show the private answers to these questions to everybody, all together."""
    person.must(reveals.Body.PERMISSION)
    private = live.state().records.private
    given = [asked for asked in answers if any(not answer.revealed for answer in private.get(asked, ()))]
    if not given:
        raise Refused("reveal", [Fault("answers", "none was given", "let the members answer privately first")])
    return recorder.record(live, person, reveals.Body(answers=named(given)))


def differing(state: State, answers: Sequence[Asked]) -> list[Asked]:
    """Of the revealed questions those on which members differ: the ones to discuss.

    A reveal counts until the answer is given or confirmed after it, or taken up again after a change or for the next
    assessment: what members held before that is history.
    """
    private = state.records.private
    return [
        asked
        for asked in answers
        if len({given.value for given in private.get(asked, ()) if given.revealed > _taken_up(state, asked)}) > 1
    ]


def _taken_up(state: State, asked: Asked) -> int:
    """Number of the latest event by which an answer was given, confirmed or reopened; 0 for none."""
    records = state.records
    causes = (held[asked].seq for held in (records.to_confirm, records.anew, records.confirmed) if asked in held)
    return max(*causes, state.stored[asked].id if asked in state.stored else 0, 0)
