"""Taking an assessment up again: a change, a failure, a due date; and confirming what still holds."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date

from checks.access.roles import Person
from checks.events.answering import confirmation
from checks.events.plant import assessment_round
from checks.events.plant import change as plant_change
from checks.events.plant import failure as plant_failure
from checks.journal.event import Event
from checks.journal.event_body import named
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
    teams.must(now, person, plant_change.Body.PERMISSION, told.touched)
    wrong = day_faults("on", on) + missing("what", what, "what was changed, in a sentence")
    wrong += too_long("what", what) + too_long("reference", reference, 200)
    try:
        reopening.check(told, now.plant)
    except Refused as refused:
        wrong += refused.faults
    if wrong:
        raise Refused("change", wrong)
    words = {"reference": reference.strip(), "on": on, "what": what.strip()}
    return recorder.record(live, person, _body(now, told, _doubtful(now, [told]), words))


def _doubtful(now: State, told: Iterable[Change]) -> Reopened:
    """Answers that any of these changes reopens."""
    found = (reopening.reopened(one, now.plant, now.assessment.answers) for one in told)
    return frozenset[Asked]().union(*found)


def _body(now: State, told: Change, answers: Reopened, words: Mapping[str, str]) -> plant_change.Body:
    return plant_change.Body(
        reference=words["reference"],
        on=words["on"],
        what=words["what"],
        kind=told.kind,
        touched=tuple(sorted(told.touched)),
        topics=tuple(sorted(reopening.topics_of(told))),
        reopened=named(sorted(answers)),
        data_to_check=reopening.data_to_check(told, now.plant),
        systems=tuple(concerned(now, told.touched, answers)),
    )


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
    teams.must(now, person, plant_failure.Body.PERMISSION, [f"group:{key}" for key in record.groups])
    _check(now, record, completes)
    slot, seen, before = None, 0, frozenset[Asked]()
    earlier = [
        failure_of(one.body) for one in now.records.failures if completes is None or one.cause != completes.cause
    ]
    judged = failures.verdict(record, now.plant)
    body = _body_of(now, record, judged, earlier)
    if completes:
        # Its systems stay those of the first event: a record that shows one shows the other.
        body = body.model_copy(update={"completes": completes.cause.seq, "systems": completes.body.systems})
        slot, seen = f"failure {completes.cause.seq}", completes.last
        before = _doubtful(now, failures.changes(failure_of(completes.body), earlier=earlier))
    done = [recorder.entry(live, person, body, slot=slot, follows=seen)]
    what = f"Failure: {record.cause.strip(' .') or 'cause not yet explained'}. {judged.sentence}"
    words = {"reference": record.reference, "on": record.on.isoformat(), "what": what[:2000]}
    for one in failures.changes(record, earlier=earlier):
        answers = _doubtful(now, [one]) - before
        if answers or not completes:
            done.append(recorder.entry(live, person, _body(now, one, answers, words)))
    return live.store.record(live.key, *done)


def _check(now: State, record: FailureRecord, completes: Failed | None) -> None:
    """Raise Refused for a text that is too long, and for what completes no failure or that of other groups."""
    wrong = too_long("cause", record.cause) + too_long("looked_at", record.looked_at)
    wrong += too_long("reference", record.reference, 200)
    if completes and completes.cause not in [one.cause for one in now.records.failures]:
        wrong.append(Fault("completes", "no failure of this plant", "choose one of the list"))
    if completes and set(completes.body.groups) != set(record.groups):
        wrong.append(Fault("groups", "not those of the record", "record another failure for another group"))
    if wrong:
        raise Refused("failure", wrong)


def _body_of(
    now: State, record: FailureRecord, judged: Verdict, earlier: Sequence[FailureRecord]
) -> plant_failure.Body:
    """A failure as its event holds it: the record, and what the rule and the cyber question say of it."""
    question = failures.cyber_question(record, now.plant, earlier=earlier)
    fields = {**asdict(record), "on": record.on.isoformat(), "cause_topics": tuple(sorted(record.cause_topics))}
    return plant_failure.Body(
        **fields,
        is_event=judged.is_event,
        parts=tuple(part.sentence for part in judged.parts),
        asks=() if question is None else question.reasons,
        systems=tuple(concerned(now, [f"group:{key}" for key in record.groups], ())),
    )


def failure_of(body: plant_failure.Body) -> FailureRecord:
    """The failure record of an event's body."""
    fields = {name: getattr(body, name) for name in FailureRecord.__dataclass_fields__}
    return FailureRecord(**{**fields, "on": date.fromisoformat(body.on), "cause_topics": frozenset(body.cause_topics)})


def begin(live: Live, person: Person, system: str) -> Event:
    """Begin the next assessment of a system on its date.

    Every third one is a fresh start: its answers are hidden until given anew. At the others every answer is to be
    confirmed, one by one or topic by topic.
    """
    person.must(assessment_round.Body.PERMISSION)
    now = live.state()
    number = len(now.records.rounds.get(system, ())) + 1
    held = basis.scope(now.plant, now.assessment.links, system)
    if now.records.signed(system) is None:
        raise Refused("re-assessment", [Fault("system", f"{system} was never signed", "finish its first assessment")])
    waiting = [asked for asked in _both(now) if asked[1] in held.addressees]
    if waiting:
        allowed = "confirm these before starting the next assessment"
        raise Refused("re-assessment", [Fault("system", f"{len(waiting)} answers are still to be confirmed", allowed)])
    blank = schedule.starts_blank(number)
    answers = [asked for asked in now.stored if asked[1] in held.addressees]
    body = assessment_round.Body(system=system, number=number, blank=blank, answers=named(sorted(answers)))
    seen = [one.seq for one in now.records.rounds.get(system, ())]
    return recorder.record(live, person, body, slot=f"round {system}", follows=max(seen, default=0))


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
    teams.must(now, person, confirmation.Body.PERMISSION, [of for _, of in answers])
    wrong = []
    if not answers:
        wrong.append(Fault("answers", "none", "select the answer to confirm"))
    elif len(answers) > 1 and not topic:
        wrong.append(Fault("answers", f"{len(answers)} at once", "one answer, or the answers of one topic"))
    for asked in sorted(answers):
        place = f"{asked[0]} of {asked[1]}"
        if asked not in now.records.to_confirm:
            wrong.append(Fault("answers", f"{place} is not to be confirmed", "nothing more to do for it"))
        elif topic and topic not in banks().every[asked[0]].topics:
            wrong.append(Fault("answers", f"{place} is not on topic {topic}", "confirm it under its own"))
        elif len(answers) > 1 and asked in now.records.anew:
            wrong.append(Fault("answers", f"{place} must be answered again", "answer it"))
    if wrong:
        raise Refused("confirmation", wrong)
    return recorder.record(live, person, confirmation.Body(answers=named(sorted(answers)), topic=topic))


def due(now: State, revision: Revision) -> date:
    """Date on which a signed system is due again."""
    months = now.records.intervals.get(revision.system, USUAL_MONTHS)
    signed = max(one.cause.day for one in revision.signatures.values())
    return schedule.due(date.fromisoformat(signed), months)
