"""Recording a failure, completing its record, and the changes that follow from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date

from checks.access.roles import Person
from checks.events.plant import change as plant_change
from checks.events.plant import failure as plant_failure
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.reassessment import change_records, failures
from checks.reassessment.failures import FailureRecord, Verdict
from checks.recording import recorder, teams
from checks.recording.field_checks import too_long
from checks.state.live import Live, State
from checks.state.reopened import Failed
from checks.text.faults import Fault, Refused


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
        before = change_records.reopened(state, failures.changes(failure_of(completes.body), earlier=earlier))
    entries = [recorder.entry(live, person, body, slot=slot, follows=follows)]
    what = f"{plant_change.OF_FAILURE}{record.cause.strip(' .') or 'cause not yet explained'}. {judgement.sentence}"
    words = {"reference": record.reference, "on": record.on.isoformat(), "what": what[:2000]}
    for change in failures.changes(record, earlier=earlier):
        answers = change_records.reopened(state, [change]) - before
        if answers or not completes:
            entries.append(recorder.entry(live, person, change_records.body(state, change, answers, words)))
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
    given = {
        name: value for name, value in fields.items() if value is not None or name not in plant_failure.WHERE_GIVEN
    }
    return plant_failure.Body(
        **given,
        is_event=judgement.is_event,
        parts=tuple(part.sentence for part in judgement.parts),
        asks=() if question is None else question.reasons,
        systems=tuple(
            key
            for key in state.plant.systems
            if any(key in state.assessment.links.systems_of.get(group, ()) for group in record.groups)
        ),
    )


def failure_of(body: plant_failure.Body) -> FailureRecord:
    """The failure record in an event body."""
    fields = {name: getattr(body, name) for name in FailureRecord.__dataclass_fields__}
    return FailureRecord(**{**fields, "on": date.fromisoformat(body.on), "cause_topics": frozenset(body.cause_topics)})
