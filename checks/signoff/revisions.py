"""Revisions: all facts and results of one system's assessment, fixed in one event under one hash."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from checks.access.roles import HALF_OF, Person
from checks.events.signoff import revision as submitted
from checks.events.signoff import sent_back
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.recording import field_checks, recorder
from checks.revision import basis
from checks.state import standing
from checks.state.live import Live, State
from checks.state.revision_status import ANSWERING, FOLLOWED, HALVES, REVIEWED, SENT_BACK, SIGNED, VOID, Revision
from checks.state.standing import Standing
from checks.text.faults import Fault, Refused
from checks.visibility import blind_round


class NothingNew(RuntimeError):
    """A system submitted for review again without a change."""

    def __init__(self, revision: Revision) -> None:
        super().__init__(
            f"revision {revision.number} of {revision.system} has the same facts and is valid; "
            "review it, or change an answer first"
        )


def system_standing(current: State, system: str) -> Standing:
    """The standing of a system: that of its latest revision."""
    revision = current.records.latest(system)
    if revision is None:
        return Standing(ANSWERING, ANSWERING, "never submitted for review")
    found = standing.of_revision(current.records, revision, current.day, current.assessment.editions.bank_scores)
    ended = _expired_acceptances(current, system) if found.state == SIGNED else ""
    return replace(found, why=f"revision {revision.number}: {found.why}{ended}")


def halves_in_force(state: State, system: str) -> tuple[str, ...]:
    """Signed halves of the latest revision of a system, where nothing has invalidated it."""
    last = state.records.latest(system)
    if last is None or status_of(state, last) == VOID:
        return ()
    return tuple(half for half in HALVES if half in state.records.counting(last))


def resting_on(state: State, of: str) -> dict[str, tuple[str, ...]]:
    """Signed halves, by system, that a different answer of an addressee would invalidate."""
    links = state.assessment.links
    resting = {
        system: halves_in_force(state, system)
        for system in state.plant.systems
        if of in basis.scope(state.plant, links, system).addressees
    }
    return {system: halves for system, halves in resting.items() if halves}


def _expired_acceptances(state: State, system: str) -> str:
    """Accepted residual risks that have ended, in words. They are reported; a later date alone invalidates no signature."""
    ended = [
        f"{gap.question} of {zone} until {acceptance.until}"
        for zone in basis.scope(state.plant, state.assessment.links, system).zones
        for gap in state.assessment.zone(zone).gaps
        if (acceptance := state.records.accepted.get((system, zone, gap.question))) and not acceptance.holds(state.day)
    ]
    return f"; no longer accepted: {', '.join(ended)}" if ended else ""


def status_of(state: State, revision: Revision) -> str:
    """State of one revision today, with all later events."""
    return state.records.state(state.records.again(revision), state.day, state.assessment.editions.bank_scores)[0]


def body(state: State, system: str) -> dict[str, Any]:
    """What a revision of a system would fix at this moment, as JSON data; floats keep every digit."""
    records = state.records
    scope = basis.scope(state.plant, state.assessment.links, system)

    def within(asked: Asked) -> bool:
        return asked[1] in scope.addressees

    number = 0 if (last := records.latest(system)) is None else last.number + 1
    return {
        "format": basis.FORMAT,
        "plant": state.plant.plant.name,
        "system": system,
        "number": number,
        "facts": basis.facts(state.assessment, system),
        "results": basis.results(state.assessment, system),
        "evidence": [
            {"question": asked[0], "of": asked[1], **asdict(piece)}
            for asked, pieces in sorted(records.evidence.items())
            for piece in pieces
            if within(asked)
        ],
        "dissents": [
            {
                "question": asked[0],
                "of": asked[1],
                **{name: value for name, value in asdict(dissent).items() if name not in ("cause", "last")},
            }
            for asked, dissents in sorted(records.dissents.items())
            for dissent in dissents
            if within(asked)
        ],
        "attended": [asdict(attendee) for attendee in records.attended.get(system, ())],
        "to_confirm": [
            {"question": asked[0], "of": asked[1]}
            for asked in sorted({**records.to_confirm, **records.to_answer_again})
            if within(asked)
        ],
        "carried": [{"question": asked[0], "of": asked[1]} for asked in carried(state, system) if within(asked)],
    }


def carried(state: State, system: str) -> list[Asked]:
    """Answers carried over from the last signed revision: neither given nor confirmed since."""
    signed = state.records.signed(system)
    if signed is None:
        return []
    return sorted(
        asked
        for asked, answer in state.stored.items()
        if answer.id < signed.cause.seq
        and (asked not in state.records.confirmed or state.records.confirmed[asked].seq < signed.cause.seq)
    )


def submit(live: Live, person: Person, system: str) -> Event:
    """Fix a revision of a system and submit it for review.

    Raises NotAllowed, NoSuchSystem, NothingNew, Refused while a blind round hides answers, which a revision would show,
    and Overtaken when somebody else has just submitted it.
    """
    person.require(submitted.Body.PERMISSION)
    state = live.state()
    _check_nothing_to_answer_again(state, system)
    last = state.records.latest(system)
    if last is not None and nothing_new(state, last):
        raise NothingNew(last)
    follows = last.cause.seq if last else 0
    fixed = submitted.Body.model_validate({**body(state, system), "journal": live.journal_at(state)}, strict=False)
    return recorder.record(live, person, fixed, slot=f"revision {system}", follows=follows)


def nothing_new(state: State, last: Revision) -> bool:
    """Whether there is nothing to submit after the latest revision: it stands, and no assessment was started since."""
    return _stands(state, last) and not _assessed_since(state, last)


def _stands(state: State, revision: Revision) -> bool:
    """Whether a revision is under review or signed, and nothing was said against it."""
    return status_of(state, revision) not in (VOID, SENT_BACK, FOLLOWED) and not revision.comments


def _assessed_since(state: State, revision: Revision) -> bool:
    """Whether another assessment of the system was started since: it ends with a revision even if no answer changed."""
    return any(start.seq > revision.cause.seq for start in state.records.rounds.get(revision.system, ()))


def _check_nothing_to_answer_again(state: State, system: str) -> None:
    questions = blind_round.questions_to_answer(state, system)
    if questions:
        count = f"{len(questions)} question{'' if len(questions) == 1 else 's'} to answer again"
        allowed = "answer them first: earlier answers stay hidden until then"
        raise Refused("revision", [Fault("answers", count, allowed)])


def send_back(live: Live, person: Person, revision: Revision, *, half: str, comments: str) -> Event:
    """Send a revision back to the team with comments on what needs rework.

    Raises NotAllowed, Refused, NotUnderReview, and Overtaken when the same half has just been sent back.
    """
    person.require(sent_back.Body.PERMISSION)
    halves = {HALF_OF[role] for role in person.roles if role in HALF_OF}
    faults = field_checks.missing("comments", comments, "say what needs rework")
    faults += field_checks.too_long("comments", comments)
    if half not in halves:
        faults.append(Fault("half", f"found {half!r}", f"yours is the {' and the '.join(sorted(halves))} half"))
    if faults:
        raise Refused("sent back", faults)
    status = status_of(live.state(), revision)
    if status != REVIEWED:
        raise NotUnderReview(revision, status)
    comment = sent_back.Body(system=revision.system, number=revision.number, half=half, comments=comments.strip())
    return recorder.record(live, person, comment, slot=f"sent-back {revision.system} {revision.number} {half}")


class NotUnderReview(RuntimeError):
    """A revision that is not, or no longer, under review."""

    def __init__(self, revision: Revision, state: str) -> None:
        super().__init__(f"revision {revision.number} of {revision.system} is {state}; see the latest one")


def fixed_body(live: Live, revision: Revision) -> dict[str, Any]:
    """What a revision fixes, read from its event."""
    (event,) = (
        event
        for event in live.store.events(live.key, after=revision.cause.seq - 1, slot=f"revision {revision.system}")
        if event.seq == revision.cause.seq
    )
    return event.content
