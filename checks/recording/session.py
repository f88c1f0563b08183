"""What a session leaves beside its answers: who attended, evidence, dissents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from checks.access.names import plain, same, token
from checks.access.roles import Person
from checks.journal.event import Event
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
    person.must("record who attended")
    came = [(" ".join(name.split()), role.strip()) for name, role in people if name.strip()]
    wrong = day_faults("on", on)
    if not came:
        wrong.append(Fault("people", "nobody is named", "name at least one person"))
    if system not in live.state().plant.systems:
        wrong.append(Fault("system", f"{system} is no system of this plant", "choose one of the list"))
    wrong += [one for name, role in came for one in too_long("people", name, 200) + too_long("people", role, 200)]
    if wrong:
        raise Refused("attendance", wrong)
    told = {"system": system, "on": on, "people": [{"name": name, "role": role} for name, role in came]}
    return recorder.record(live, person, "attendance", told)


def show(live: Live, person: Person, asked: Asked, fields: Mapping[str, Any]) -> Event:
    """Record a piece of evidence for an answer.

    ``fields``: kind, identifier, revision, dated, shows, strength (0 to 5), valid_until (a date) or until_event.
    """
    now = live.state()
    teams.must(now, person, "record evidence", [asked[1]])
    told = {name: str(fields.get(name, "")).strip() for name in TEXTS}
    strength = fields.get("strength")
    wrong = [fault for name in ("dated", "valid_until") if told[name] for fault in day_faults(name, told[name])]
    wrong += missing("identifier", told["identifier"], "number or name under which somebody else finds it")
    wrong += missing("shows", told["shows"], "what it shows, in one line")
    wrong += [one for name in TEXTS for one in too_long(name, told[name])]
    if told["kind"] not in KINDS:
        wrong.append(Fault("kind", f"found {told['kind']!r}", f"allowed: {', '.join(KINDS)}"))
    if type(strength) is not int or not 0 <= strength < len(STRENGTHS):
        wrong.append(Fault("strength", f"found {strength!r}", "a whole number from 0 to 5"))
    wrong += _answered(now, asked)
    if wrong:
        raise Refused("evidence", wrong)
    return recorder.record(live, person, "evidence", {**_named(asked), **told, "strength": strength})


TEXTS = ("kind", "identifier", "revision", "dated", "shows", "valid_until", "until_event")


def take_back(live: Live, person: Person, asked: Asked, *, evidence: int, reason: str) -> Event:
    """Say that a piece of evidence no longer holds, such as after the event until which it was valid."""
    now = live.state()
    teams.must(now, person, "record evidence", [asked[1]])
    held = [one.number for one in now.records.evidence.get(asked, ())]
    wrong = missing("reason", reason, "say why it no longer holds")
    if evidence not in held:
        wrong.append(Fault("evidence", f"{evidence} does not stand beside this answer", "choose one of the list"))
    if wrong:
        raise Refused("evidence", wrong)
    told = {**_named(asked), "evidence": evidence, "reason": reason.strip()}
    return recorder.record(live, person, "evidence-withdrawn", told, slot=f"evidence {evidence}")


def dissent(live: Live, person: Person, asked: Asked, fields: Mapping[str, str]) -> Event:
    """Keep a member's answer beside the adopted one.

    ``fields``: value, who, role, reason, settles (what evidence would settle it). While it is open the less
    favourable of the two answers counts.
    """
    now = live.state()
    teams.must(now, person, "record a dissent", [asked[1]])
    told = {name: str(fields.get(name, "")).strip() for name in ("value", "who", "role", "reason", "settles")}
    wrong = missing("who", told["who"], "who holds it") + missing("reason", told["reason"], "why, in a sentence")
    wrong += missing("settles", told["settles"], "what evidence would settle it")
    wrong += [one for name, text in told.items() for one in too_long(name, text)] + _answered(now, asked)
    if told["value"] not in VALUES:
        wrong.append(Fault("value", f"found {told['value']!r}", f"allowed: {', '.join(VALUES)}"))
    elif asked in now.stored and now.stored[asked].answer.value == told["value"]:
        wrong.append(Fault("value", f"{told['value']} is the adopted answer", "a dissent is another answer"))
    if wrong:
        raise Refused("dissent", wrong)
    slot, seen = _slot(now, asked, told["who"])
    return recorder.record(live, person, "dissent", {**_named(asked), **told}, slot=slot, follows=seen)


def settle(live: Live, person: Person, asked: Asked, *, evidence: str, who: str = "", number: int = 0) -> Event:
    """Close a dissent with the evidence that settled it; it is kept.

    It is named by ``who`` holds it, or by the ``number`` of its event: not everybody who may settle it sees who.
    """
    now = live.state()
    teams.must(now, person, "record a dissent", [asked[1]])
    opened = [one for one in now.records.dissents.get(asked, ()) if not one.closed]
    who = next((one.who for one in opened if one.cause.seq == number), who)
    wrong = missing("evidence", evidence, "a dissent is closed by evidence only") + too_long("evidence", evidence)
    if not any(same(one.who, who) for one in opened):
        wrong.append(Fault("who", f"{who!r} holds no open dissent here", "choose one of the list"))
    if wrong:
        raise Refused("dissent", wrong)
    slot, seen = _slot(now, asked, who)
    told = {**_named(asked), "who": who, "evidence": evidence.strip()}
    return recorder.record(live, person, "dissent-closed", told, slot=slot, follows=seen)


def _slot(now: State, asked: Asked, who: str) -> tuple[str, int]:
    """Slot of one member's dissent on one answer, and the event that holds there."""
    theirs = [one.last for one in now.records.dissents.get(asked, ()) if same(one.who, who)]
    return f"dissent {asked[1]} {asked[0]} {plain(who)}"[:240], max(theirs, default=0)


def _answered(now: State, asked: Asked) -> list[Fault]:
    if asked in now.stored:
        return []
    return [Fault("question", f"{asked[0]} of {asked[1]} has no answer yet", "answer it first")]


def _named(asked: Asked) -> dict[str, str]:
    return {"question": asked[0], "of": asked[1]}


def answer_privately(live: Live, person: Person, asked: Asked, *, value: str, note: str = "") -> Event:
    """Give one's answer before the meeting; nobody else sees it before it is revealed."""
    now = live.state()
    teams.must(now, person, "answer privately", [asked[1]])
    wrong = too_long("note", note)
    if not person.name.strip():
        wrong.append(Fault("name", "missing", "a private answer is yours: say who you are, at the top right"))
    if value not in VALUES:
        wrong.append(Fault("value", f"found {value!r}", f"allowed: {', '.join(VALUES)}"))
    if wrong:
        raise Refused("private answer", wrong)
    whose = token(person.name, person.identity)
    held = [one for one in now.records.private.get(asked, ()) if one.whose == whose]
    told = {**_named(asked), "who": person.name, "value": value, "note": note.strip()}
    slot = f"private {asked[1]} {asked[0]} {whose}"[:240]
    return recorder.record(live, person, "private", told, slot=slot, follows=held[0].last if held else 0)


def reveal(live: Live, person: Person, answers: Sequence[Asked]) -> Event:
    """Show the private answers to these questions to everybody, all together."""
    person.must("reveal the private answers")
    held = live.state().records.private
    given = [asked for asked in answers if any(not one.revealed for one in held.get(asked, ()))]
    if not given:
        raise Refused("reveal", [Fault("answers", "none was given", "let the members answer privately first")])
    return recorder.record(live, person, "revealed", {"answers": [_named(one) for one in given]})


def differing(now: State, answers: Sequence[Asked]) -> list[Asked]:
    """Of the revealed questions those on which members differ: the ones to discuss.

    A reveal counts until the answer is given or confirmed after it, or taken up again after a change or for the next
    assessment: what members held before that is history.
    """
    held = now.records.private
    return [
        asked
        for asked in answers
        if len({one.value for one in held.get(asked, ()) if one.revealed > _taken_up(now, asked)}) > 1
    ]


def _taken_up(now: State, asked: Asked) -> int:
    """Number of the latest event by which an answer was given, confirmed or reopened; 0 for none."""
    records = now.records
    causes = (held[asked].seq for held in (records.to_confirm, records.anew, records.confirmed) if asked in held)
    return max(*causes, now.stored[asked].id if asked in now.stored else 0, 0)
