"""Answers to confirm after a change or for the next assessment."""

from __future__ import annotations

from collections.abc import Collection

from checks.access.roles import Person
from checks.events.answering import confirmation
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.reassessment import kinds_of_change
from checks.recording import recorder, teams
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused

MOST_AT_ONCE = 12
"""Most answers confirmed in one entry: what a team can look at on one screen (house rule)."""


def topics_waiting(state: State, system: str) -> dict[str, list[Asked]]:
    """Answers of a system to confirm, by topic; an answer is listed under every topic of its question."""
    addressees = basis.scope(state.plant, state.assessment.links, system).addressees
    by_topic: dict[str, list[Asked]] = {}
    for asked in state.records.to_confirm:
        if asked[1] in addressees:
            for topic in banks().questions[asked[0]].topics:
                by_topic.setdefault(topic, []).append(asked)
    return {topic: sorted(by_topic[topic]) for topic in kinds_of_change.topics() if topic in by_topic}


def confirm_answers(live: Live, person: Person, answers: Collection[Asked], *, topic: str = "") -> Event:
    """Confirm answers: one answer, or some of one topic that were looked at together, never all at once.

    Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, confirmation.Body.PERMISSION, [of for _, of in answers])
    faults = []
    if not answers:
        faults.append(Fault("answers", "none", "select the answer to confirm"))
    elif len(answers) > 1 and not topic:
        faults.append(Fault("answers", f"{len(answers)} at once", "one answer, or the answers of one topic"))
    elif len(answers) > MOST_AT_ONCE:
        faults.append(Fault("answers", f"{len(answers)} at once", f"at most {MOST_AT_ONCE}, those looked at together"))
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
