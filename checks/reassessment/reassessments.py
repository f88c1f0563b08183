"""Taking an assessment up again: a change, a failure, a due date; and confirming what still holds."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from checks.access.roles import Person
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.reassessment import failures, reopening, schedule
from checks.reassessment.failures import FailureRecord, Verdict
from checks.reassessment.reopening import Change, Reopened
from checks.reassessment.schedule import USUAL_MONTHS
from checks.recording import recorder, teams
from checks.recording.field_checks import day_faults, missing, too_long
from checks.revision import basis
from checks.state.entries import Revision
from checks.state.live import Live, State
from checks.state.reopened import Failed
from checks.text.faults import Fault, Refused


def change(live: Live, person: Person, told: Change, *, reference: str, on: str, what: str) -> Event:
    """Record a plant change or an advisory; reopens the answers that it makes doubtful and nothing else."""
    now = live.state()
    teams.must(now, person, "record a change", told.touched)
    wrong = day_faults("on", on) + missing("what", what, "what was changed, in a sentence")
    wrong += too_long("what", what) + too_long("reference", reference, 200)
    try:
        reopening.check(told, now.plant)
    except Refused as refused:
        wrong += refused.faults
    if wrong:
        raise Refused("change", wrong)
    words = {"reference": reference.strip(), "on": on, "what": what.strip()}
    return recorder.record(live, person, "change", _body(now, told, _doubtful(now, [told]), words))


def _doubtful(now: State, told: Iterable[Change]) -> Reopened:
    """Answers that any of these changes reopens."""
    found = (reopening.reopened(one, now.plant, now.assessment.answers) for one in told)
    return frozenset[Asked]().union(*found)


def _body(now: State, told: Change, answers: Reopened, words: Mapping[str, str]) -> dict[str, Any]:
    return {
        **words,
        "kind": told.kind,
        "touched": sorted(told.touched),
        "topics": sorted(reopening.topics_of(told)),
        "reopened": _listed(answers),
        "data": list(reopening.data_to_check(told, now.plant)),
        "systems": concerned(now, told.touched, answers),
    }


def concerned(now: State, touched: Collection[str], answers: Collection[Asked]) -> list[str]:
    """Systems that a change concerns: those inside what it touches, and those whose answers it reopened."""
    found = []
    links = now.assessment.links
    groups = {key for of in touched for key in links.groups_of(of)}
    reached = {of for _, of in answers}
    for system in now.plant.systems:
        held = basis.scope(now.plant, links, system)
        if groups & set(held.groups) or reached & held.addressees or f"system:{system}" in touched:
            found.append(system)
    return found


def failure(live: Live, person: Person, record: FailureRecord, *, completes: Failed | None = None) -> list[Event]:
    """Record a failure, and the changes that it amounts to; the first event is the record itself.

    ``completes`` is the failure as somebody saw it who knows more by now. Its record reopens what it did not amount to
    before; what was reopened stays so until it is confirmed. Raises Overtaken when somebody completed it meanwhile.
    """
    now = live.state()
    teams.must(now, person, "record a change", [f"group:{key}" for key in record.groups])
    _check(now, record, completes)
    slot, seen, before = None, 0, frozenset[Asked]()
    earlier = [
        failure_of(one.body) for one in now.records.failures if completes is None or one.cause != completes.cause
    ]
    judged = failures.verdict(record, now.plant)
    body = _body_of(now, record, judged, earlier)
    if completes:
        # Its systems stay those of the first event: a record that shows one shows the other.
        body |= {"completes": completes.cause.seq, "systems": completes.body["systems"]}
        slot, seen = f"failure {completes.cause.seq}", completes.last
        before = _doubtful(now, failures.changes(failure_of(completes.body), earlier=earlier))
    done = [recorder.entry(live, person, "failure", body, slot=slot, follows=seen)]
    what = f"Failure: {record.cause.strip(' .') or 'nobody has explained it yet'}. {judged.sentence}"
    words = {"reference": record.reference, "on": record.on.isoformat(), "what": what[:2000]}
    for one in failures.changes(record, earlier=earlier):
        answers = _doubtful(now, [one]) - before
        if answers or not completes:
            done.append(recorder.entry(live, person, "change", _body(now, one, answers, words)))
    return live.store.record(live.key, *done)


def _check(now: State, record: FailureRecord, completes: Failed | None) -> None:
    """Raise Refused for a text that is too long, and for what completes no failure or that of other groups."""
    wrong = too_long("cause", record.cause) + too_long("looked_at", record.looked_at)
    wrong += too_long("reference", record.reference, 200)
    if completes and completes.cause not in [one.cause for one in now.records.failures]:
        wrong.append(Fault("completes", "no failure of this plant", "choose one of the list"))
    if completes and set(completes.body["groups"]) != set(record.groups):
        wrong.append(Fault("groups", "not those of the record", "record another failure for another group"))
    if wrong:
        raise Refused("failure", wrong)


def _body_of(now: State, record: FailureRecord, judged: Verdict, earlier: Sequence[FailureRecord]) -> dict[str, Any]:
    """A failure as its event holds it: the record, and what the rule and the cyber question say of it."""
    question = failures.cyber_question(record, now.plant, earlier=earlier)
    return {
        **_written(record),
        "is_event": judged.is_event,
        "parts": [one.sentence for one in judged.parts],
        "asks": [] if question is None else list(question.reasons),
        "systems": concerned(now, [f"group:{key}" for key in record.groups], ()),
    }


def _written(record: FailureRecord) -> dict[str, Any]:
    """Fields of a failure as an event holds them."""
    fields = {name: sorted(value) if isinstance(value, frozenset) else value for name, value in asdict(record).items()}
    return fields | {"on": record.on.isoformat(), "groups": list(record.groups), "channels": list(record.channels)}


def failure_of(body: Mapping[str, Any]) -> FailureRecord:
    """The failure record of an event's body."""
    names = FailureRecord.__dataclass_fields__
    fields = {name: value for name, value in body.items() if name in names}
    fields["on"] = date.fromisoformat(fields["on"])
    for name in ("groups", "channels"):
        fields[name] = tuple(fields[name])
    fields["cause_topics"] = frozenset(fields["cause_topics"])
    if fields["period_h"] is not None:
        fields["period_h"] = float(fields["period_h"])  # the canonical form writes 0.0 as 0
    return FailureRecord(**fields)


def begin(live: Live, person: Person, system: str) -> Event:
    """Begin the next assessment of a system on its date.

    Every third one is a fresh start: its answers are hidden until given anew. At the others every answer is to be
    confirmed, one by one or topic by topic.
    """
    person.must("begin a re-assessment")
    now = live.state()
    number = len(now.records.rounds.get(system, ())) + 1
    held = basis.scope(now.plant, now.assessment.links, system)
    if now.records.signed(system) is None:
        raise Refused("re-assessment", [Fault("system", f"{system} was never signed", "finish its first assessment")])
    waiting = [asked for asked in _both(now) if asked[1] in held.addressees]
    if waiting:
        allowed = "finish these before the next one begins"
        raise Refused("re-assessment", [Fault("system", f"{len(waiting)} answers are still to be confirmed", allowed)])
    blank = schedule.starts_blank(number)
    answers = [asked for asked in now.stored if asked[1] in held.addressees]
    body = {"system": system, "number": number, "blank": blank, "answers": _listed(answers)}
    seen = [one.seq for one in now.records.rounds.get(system, ())]
    return recorder.record(live, person, "round", body, slot=f"round {system}", follows=max(seen, default=0))


def _both(now: State) -> Iterable[Asked]:
    return {**now.records.to_confirm, **now.records.anew}


def topics_waiting(now: State, system: str) -> dict[str, list[Asked]]:
    """Answers of a system to be confirmed, by topic; an answer stands under every topic of its question."""
    held = basis.scope(now.plant, now.assessment.links, system).addressees
    found: dict[str, list[Asked]] = {}
    for asked in now.records.to_confirm:
        if asked[1] in held:
            for topic in banks().every[asked[0]].topics:
                found.setdefault(topic, []).append(asked)
    return {topic: sorted(found[topic]) for topic in reopening.topics() if topic in found}


def confirm(live: Live, person: Person, answers: Collection[Asked], *, topic: str = "") -> Event:
    """Say that answers still hold: one answer, or those of one topic. Never all at once."""
    now = live.state()
    teams.must(now, person, "confirm an answer", [of for _, of in answers])
    wrong = []
    if not answers:
        wrong.append(Fault("answers", "none", "name the answer that still holds"))
    elif len(answers) > 1 and not topic:
        wrong.append(Fault("answers", f"{len(answers)} at once", "one answer, or the answers of one topic"))
    for asked in sorted(answers):
        named = f"{asked[0]} of {asked[1]}"
        if asked not in now.records.to_confirm:
            wrong.append(Fault("answers", f"{named} is not to be confirmed", "nothing more to do for it"))
        elif topic and topic not in banks().every[asked[0]].topics:
            wrong.append(Fault("answers", f"{named} is not on topic {topic}", "confirm it under its own"))
        elif len(answers) > 1 and asked in now.records.anew:
            wrong.append(Fault("answers", f"{named} is to be given anew", "answer it"))
    if wrong:
        raise Refused("confirmation", wrong)
    body = {"answers": _listed(answers), "topic": topic}
    return recorder.record(live, person, "confirmed", body)


def due(now: State, revision: Revision) -> date:
    """Date on which a signed system is due again."""
    months = now.records.intervals.get(revision.system, USUAL_MONTHS)
    signed = max(one.cause.day for one in revision.signatures.values())
    return schedule.due(date.fromisoformat(signed), months)


def _listed(answers: Iterable[Asked]) -> list[dict[str, str]]:
    return [{"question": question, "of": of} for question, of in sorted(answers)]
