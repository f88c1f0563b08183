"""All kinds of events. A new kind takes one module beside these and one line here."""

from __future__ import annotations

from checks.events.answering import (
    answer,
    answer_taken_back,
    confirmation,
    dissent,
    dissent_closure,
    evidence,
    evidence_withdrawal,
    private_answer,
    reveal,
)
from checks.events.plant import (
    action,
    allowed_change,
    archive,
    assessment_round,
    attendance,
    attendance_corrected,
    change,
    data_check,
    effort,
    entry_taken_back,
    failure,
    interval,
    plant_data,
)
from checks.events.signoff import (
    accepted_gap,
    export,
    key,
    key_withdrawal,
    name_link,
    review_comment,
    revision,
    sent_back,
    signature,
)
from checks.journal.event import Event
from checks.journal.event_body import EventBody

KINDS: dict[str, type[EventBody]] = {
    module.Body.KIND: module.Body
    for module in (
        answer,
        answer_taken_back,
        confirmation,
        dissent,
        dissent_closure,
        evidence,
        evidence_withdrawal,
        private_answer,
        reveal,
        action,
        allowed_change,
        archive,
        assessment_round,
        attendance,
        attendance_corrected,
        change,
        data_check,
        effort,
        entry_taken_back,
        failure,
        interval,
        plant_data,
        accepted_gap,
        export,
        key,
        key_withdrawal,
        name_link,
        review_comment,
        revision,
        sent_back,
        signature,
    )
}


def read(event: Event) -> EventBody | None:
    """The typed body of an event; None for an unknown kind. Raises ValueError where the fields do not match."""
    kind = KINDS.get(event.kind)
    return kind.read(event) if kind else None
