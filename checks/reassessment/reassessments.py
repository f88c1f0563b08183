"""Re-assessment: changes, failures and due dates reopen answers; people confirm those that are still correct."""

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
from checks.state.live import Live, State
from checks.state.reopened import Failed
from checks.state.revision_status import Revision
from checks.text.faults import Fault, Refused


def record_change(live: Live, person: Person, change: Change, *, reference: str, on: str, what: str) -> Event:
    """Record a plant change or an advisory; reopens only the answers that it affects.

    ``on`` is an ISO date. Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, plant_change.Body.PERMISSION, change.touched)
    faults = day_faults("on", on) + missing("what", what, "what was changed, in a sentence")
    faults += too_long("what", what) + too_long("reference", reference, 200)
    try:
        reopening.check(change, state.plant)
    except Refused as refused:
        faults += refused.faults
    if faults:
        raise Refused("change", faults)
    words = {"reference": reference.strip(), "on": on, "what": what.strip()}
    return recorder.record(live, person, _change_body(state, change, _reopened(state, [change]), words))


def _reopened(state: State, changes: Iterable[Change]) -> Reopened:
    """Answers reopened by any of these changes."""
    reopened = (reopening.reopened(change, state.plant, state.assessment.answers) for change in changes)
    return frozenset[Asked]().union(*reopened)


def _change_body(state: State, change: Change, answers: Reopened, words: Mapping[str, str]) -> plant_change.Body:
    return plant_change.Body(
        reference=words["reference"],
        on=words["on"],
        what=words["what"],
        kind=change.kind,
        touched=tuple(sorted(change.touched)),
        topics=tuple(sorted(reopening.topics_of(change))),
        reopened=named(sorted(answers)),
        data_to_check=reopening.data_to_check(change, state.plant),
        systems=tuple(concerned(state, change.touched, answers)),
    )


def concerned(state: State, touched: Collection[str], answers: Collection[Asked]) -> list[str]:
    """Systems concerned by a change: those that it touches, and those whose answers it reopened."""
    systems = []
    links = state.assessment.links
    groups = {key for of in touched for key in links.groups_of(of)}
    reached = {of for _, of in answers}
    for system in state.plant.systems:
        scope = basis.scope(state.plant, links, system)
        if groups & set(scope.groups) or reached & scope.addressees or f"system:{system}" in touched:
            systems.append(system)
    return systems


def record_failure(
    live: Live, person: Person, record: FailureRecord, *, completes: Failed | None = None
) -> list[Event]:
    """Record a failure and the changes that follow from it; the first event is the record itself.

    ``completes`` is an earlier record of the same failure, now completed. Only answers that it did not reopen before
    are reopened; those reopened before stay so until confirmed. Raises NotAllowed, Refused, and Overtaken when somebody
    else completed it meanwhile.
    """
    state = live.state()
    teams.require(state, person, plant_failure.Body.PERMISSION, [f"group:{key}" for key in record.groups])
    _check(state, record, completes)
    slot, follows, before = None, 0, frozenset[Asked]()
    earlier = [
        failure_of(failed.body)
        for failed in state.records.failures
        if completes is None or failed.cause != completes.cause
    ]
    judgement = failures.verdict(record, state.plant)
    body = _failure_body(state, record, judgement, earlier)
    if completes:
        # The systems stay those of the first event, so that both appear in the same records.
        body = body.model_copy(update={"completes": completes.cause.seq, "systems": completes.body.systems})
        slot, follows = f"failure {completes.cause.seq}", completes.last
        before = _reopened(state, failures.changes(failure_of(completes.body), earlier=earlier))
    entries = [recorder.entry(live, person, body, slot=slot, follows=follows)]
    what = f"Failure: {record.cause.strip(' .') or 'cause not yet explained'}. {judgement.sentence}"
    words = {"reference": record.reference, "on": record.on.isoformat(), "what": what[:2000]}
    for change in failures.changes(record, earlier=earlier):
        answers = _reopened(state, [change]) - before
        if answers or not completes:
            entries.append(recorder.entry(live, person, _change_body(state, change, answers, words)))
    return live.store.record(live.key, *entries)


def _check(state: State, record: FailureRecord, completes: Failed | None) -> None:
    """Raise Refused for a text that is too long, and for a completed failure that is unknown or of other groups."""
    faults = too_long("cause", record.cause) + too_long("looked_at", record.looked_at)
    faults += too_long("reference", record.reference, 200)
    if completes and completes.cause not in [failed.cause for failed in state.records.failures]:
        faults.append(Fault("completes", "no failure of this plant", "choose one of the list"))
    if completes and set(completes.body.groups) != set(record.groups):
        faults.append(Fault("groups", "not those of the record", "record another failure for another group"))
    if faults:
        raise Refused("failure", faults)


def _failure_body(
    state: State, record: FailureRecord, judgement: Verdict, earlier: Sequence[FailureRecord]
) -> plant_failure.Body:
    """The event body of a failure: the record, the verdict and the reasons for the cyber question."""
    question = failures.cyber_question(record, state.plant, earlier=earlier)
    fields = {**asdict(record), "on": record.on.isoformat(), "cause_topics": tuple(sorted(record.cause_topics))}
    return plant_failure.Body(
        **fields,
        is_event=judgement.is_event,
        parts=tuple(part.sentence for part in judgement.parts),
        asks=() if question is None else question.reasons,
        systems=tuple(concerned(state, [f"group:{key}" for key in record.groups], ())),
    )


def failure_of(body: plant_failure.Body) -> FailureRecord:
    """The failure record in an event body."""
    fields = {name: getattr(body, name) for name in FailureRecord.__dataclass_fields__}
    return FailureRecord(**{**fields, "on": date.fromisoformat(body.on), "cause_topics": frozenset(body.cause_topics)})


def begin_assessment(live: Live, person: Person, system: str) -> Event:
    """Begin the next assessment of a system.

    Every third one is a blind round: answers stay hidden until given again. At the others every answer is confirmed,
    one by one or by topic. Raises NotAllowed and Refused.
    """
    person.require(assessment_round.Body.PERMISSION)
    state = live.state()
    number = len(state.records.rounds.get(system, ())) + 1
    scope = basis.scope(state.plant, state.assessment.links, system)
    if state.records.signed(system) is None:
        raise Refused("re-assessment", [Fault("system", f"{system} was never signed", "finish its first assessment")])
    to_confirm, to_repeat = (
        sum(of in scope.addressees for _, of in waiting)
        for waiting in (state.records.to_confirm, state.records.to_answer_again)
    )
    if to_confirm or to_repeat:
        waiting = f"still {to_confirm} to confirm, {to_repeat} to answer again"
        raise Refused("re-assessment", [Fault("answers", waiting, "finish these before starting the next assessment")])
    blank = schedule.starts_blank(number)
    answers = [asked for asked in state.stored if asked[1] in scope.addressees]
    body = assessment_round.Body(system=system, number=number, blank=blank, answers=named(sorted(answers)))
    numbers = [cause.seq for cause in state.records.rounds.get(system, ())]
    return recorder.record(live, person, body, slot=f"round {system}", follows=max(numbers, default=0))


def topics_waiting(state: State, system: str) -> dict[str, list[Asked]]:
    """Answers of a system to confirm, by topic; an answer is listed under every topic of its question."""
    addressees = basis.scope(state.plant, state.assessment.links, system).addressees
    by_topic: dict[str, list[Asked]] = {}
    for asked in state.records.to_confirm:
        if asked[1] in addressees:
            for topic in banks().questions[asked[0]].topics:
                by_topic.setdefault(topic, []).append(asked)
    return {topic: sorted(by_topic[topic]) for topic in reopening.topics() if topic in by_topic}


def confirm_answers(live: Live, person: Person, answers: Collection[Asked], *, topic: str = "") -> Event:
    """Confirm answers: one answer, or those of one topic, never all at once. Raises NotAllowed and Refused."""
    state = live.state()
    teams.require(state, person, confirmation.Body.PERMISSION, [of for _, of in answers])
    faults = []
    if not answers:
        faults.append(Fault("answers", "none", "select the answer to confirm"))
    elif len(answers) > 1 and not topic:
        faults.append(Fault("answers", f"{len(answers)} at once", "one answer, or the answers of one topic"))
    for asked in sorted(answers):
        place = f"{asked[0]} of {asked[1]}"
        if asked not in state.records.to_confirm:
            faults.append(Fault("answers", f"{place} is not to be confirmed", "nothing more to do for it"))
        elif topic and topic not in banks().questions[asked[0]].topics:
            faults.append(Fault("answers", f"{place} is not on topic {topic}", "confirm it under its own"))
        elif len(answers) > 1 and asked in state.records.to_answer_again:
            faults.append(Fault("answers", f"{place} must be answered again", "answer it"))
    if faults:
        raise Refused("confirmation", faults)
    return recorder.record(live, person, confirmation.Body(answers=named(sorted(answers)), topic=topic))


def due(state: State, revision: Revision) -> date:
    """Date on which the next assessment of a signed system is due."""
    months = state.records.intervals.get(revision.system, USUAL_MONTHS)
    signed = max(signature.cause.day for signature in revision.signatures.values())
    return schedule.due(date.fromisoformat(signed), months)
