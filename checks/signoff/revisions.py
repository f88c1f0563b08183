"""Fixing a revision: everything that one system's assessment rests on and every result, as one event under one hash."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from checks.access.roles import HALF_OF, Person
from checks.events.signoff import revision as submitted
from checks.events.signoff import sent_back
from checks.journal.event import Event
from checks.plantfile.plant import Asked
from checks.recording import field_checks, recorder
from checks.revision import basis
from checks.state.entries import ANSWERING, FOLLOWED, REVIEWED, SENT_BACK, SIGNED, VOID, Revision
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.visibility import fresh_start


class NothingNew(RuntimeError):
    """A system that is put up for review again without a change."""

    def __init__(self, revision: Revision) -> None:
        super().__init__(
            f"revision {revision.number} of {revision.system} has the same facts and is valid; "
            "review it, or change an answer first"
        )


def state_of(now: State, system: str) -> tuple[str, str]:
    """State of a system's assessment, and in words why."""
    revision = now.records.latest(system)
    if revision is None:
        return ANSWERING, "never submitted for review"
    state, why = now.records.state(revision, now.day, now.assessment.editions.bank_scores)
    ended = _ended(now, system) if state == SIGNED else ""
    return state, f"revision {revision.number}: {why}{ended}"


def _ended(now: State, system: str) -> str:
    """In words which accepted gaps are there and no longer accepted: a later day voids no signature, but is said."""
    ended = [
        f"{gap.question} of {zone} until {one.until}"
        for zone in basis.scope(now.plant, now.assessment.links, system).zones
        for gap in now.assessment.zone(zone).gaps
        if (one := now.records.accepted.get((system, zone, gap.question))) and not one.holds(now.day)
    ]
    return f"; no longer accepted: {', '.join(ended)}" if ended else ""


def stands(now: State, revision: Revision) -> str:
    """State of one revision on this day, whatever became of it since it was looked at."""
    return now.records.state(now.records.again(revision), now.day, now.assessment.editions.bank_scores)[0]


def body(now: State, system: str) -> dict[str, Any]:
    """What a revision of a system fixes now, as JSON data; floats are kept to the last digit."""
    records = now.records
    held = basis.scope(now.plant, now.assessment.links, system)

    def within(asked: Asked) -> bool:
        return asked[1] in held.addressees

    number = 0 if (last := records.latest(system)) is None else last.number + 1
    return {
        "format": basis.FORMAT,
        "plant": now.plant.plant.name,
        "system": system,
        "number": number,
        "facts": basis.facts(now.assessment, system),
        "results": basis.results(now.assessment, system),
        "evidence": [
            {"question": asked[0], "of": asked[1], **asdict(one)}
            for asked, several in sorted(records.evidence.items())
            for one in several
            if within(asked)
        ],
        "dissents": [
            {
                "question": asked[0],
                "of": asked[1],
                **{name: value for name, value in asdict(one).items() if name not in ("cause", "last")},
            }
            for asked, several in sorted(records.dissents.items())
            for one in several
            if within(asked)
        ],
        "attended": [asdict(one) for one in records.attended.get(system, ())],
        "to_confirm": [
            {"question": asked[0], "of": asked[1]}
            for asked in sorted({**records.to_confirm, **records.anew})
            if within(asked)
        ],
        "carried": [{"question": asked[0], "of": asked[1]} for asked in carried(now, system) if within(asked)],
    }


def carried(now: State, system: str) -> list[Asked]:
    """Answers that nobody gave or confirmed since the last signed revision: carried over from it."""
    signed = now.records.signed(system)
    if signed is None:
        return []
    return sorted(
        asked
        for asked, one in now.stored.items()
        if one.id < signed.cause.seq
        and (asked not in now.records.confirmed or now.records.confirmed[asked].seq < signed.cause.seq)
    )


def put_up(live: Live, person: Person, system: str) -> Event:
    """Fix a revision of a system and put it before the reviewers.

    Raises NotAllowed, NoSuchSystem, NothingNew, Refused while a fresh start hides answers, which a revision would tell,
    and Overtaken when somebody else has just done it.
    """
    person.must(submitted.Body.PERMISSION)
    now = live.state()
    _none_to_give_anew(now, system)
    last = now.records.latest(system)
    if last is not None and stands(now, last) not in (VOID, SENT_BACK, FOLLOWED) and not last.comments:
        raise NothingNew(last)
    seen = last.cause.seq if last else 0
    fixed = submitted.Body.model_validate({**body(now, system), "journal": live.journal_at(now)}, strict=False)
    return recorder.record(live, person, fixed, slot=f"revision {system}", follows=seen)


def _none_to_give_anew(now: State, system: str) -> None:
    anew = fresh_start.to_give(now, system)
    if anew:
        count = f"{len(anew)} question{'' if len(anew) == 1 else 's'} to answer again"
        allowed = "answer them first: earlier answers stay hidden until then"
        raise Refused("revision", [Fault("answers", count, allowed)])


def send_back(live: Live, person: Person, revision: Revision, *, half: str, comments: str) -> Event:
    """Give a revision back to the team with what must be looked at again.

    Raises NotAllowed, Refused, NotUnderReview, and Overtaken when the same half has just given it back.
    """
    person.must(sent_back.Body.PERMISSION)
    ours = {HALF_OF[role] for role in person.roles if role in HALF_OF}
    wrong = field_checks.missing("comments", comments, "say what needs rework")
    if half not in ours:
        wrong.append(Fault("half", f"found {half!r}", f"yours is the {' and the '.join(sorted(ours))} half"))
    if wrong:
        raise Refused("sent back", wrong)
    state = stands(live.state(), revision)
    if state != REVIEWED:
        raise NotUnderReview(revision, state)
    comment = sent_back.Body(system=revision.system, number=revision.number, half=half, comments=comments.strip())
    return recorder.record(live, person, comment, slot=f"sent-back {revision.system} {revision.number} {half}")


class NotUnderReview(RuntimeError):
    """A revision that is not, or no longer, before the reviewers."""

    def __init__(self, revision: Revision, state: str) -> None:
        super().__init__(f"revision {revision.number} of {revision.system} is {state}; look at the latest one")


def fixed_body(live: Live, revision: Revision) -> dict[str, Any]:
    """What a revision fixed, read from its event."""
    (event,) = (
        one
        for one in live.store.events(live.key, after=revision.cause.seq - 1, slot=f"revision {revision.system}")
        if one.seq == revision.cause.seq
    )
    return event.content
