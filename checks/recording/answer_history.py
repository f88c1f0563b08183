"""History of an answer, and taking back one's own last answer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from checks.access.roles import Person
from checks.events.answering import answer, answer_taken_back
from checks.events.answering.answer import slot, stored
from checks.journal.errors import Overtaken
from checks.journal.event import Event
from checks.plantfile.plant import Answer, Asked
from checks.recording import authorship, recorder, teams
from checks.recording.answering import AnsweredMeanwhile, overtaken
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused


@dataclass(frozen=True, slots=True)
class Version:
    """One event of an answer: time (UTC), who gave it, who recorded it, and the answer that stood afterwards; None for none."""

    at: str
    by: str
    recorded_by: str
    answer: Answer | None
    taken_back: bool


def history(live: Live, current: State, asked: Asked) -> list[Version]:
    """All versions of an answer, the latest first; none where the reader may not see them.

    In a blind round they are hidden with the earlier answer until it is given again.
    """
    if not current.is_visible(asked[1]) or _hidden(current, asked):
        return []
    return [_version(event) for event in reversed(live.store.events(live.key, slot=slot(*asked)))]


def _version(event: Event) -> Version:
    if event.kind == answer_taken_back.Body.KIND:
        return Version(event.at, event.by, event.by, answer_taken_back.Body.read(event).restored(), taken_back=True)
    given = stored(event).answer
    return Version(event.at, given.by or event.by, event.by, given, taken_back=False)


def _hidden(current: State, asked: Asked) -> bool:
    return asked in current.records.to_answer_again and asked not in current.stored


def take_back(live: Live, person: Person, asked: Asked, *, seen: int) -> Event:
    """Take back one's own last answer: the one before it stands again, or none.

    ``seen`` is the number of the answer that the person had on screen. Raises NotAllowed, Refused for the answer of
    somebody else, AnsweredMeanwhile or StoreUnavailable.
    """
    state = live.state()
    teams.require(state, person, answer_taken_back.Body.PERMISSION, [asked[1]])
    current = state.stored.get(asked)
    if current is None or current.id != seen or asked in state.records.to_answer_again:
        raise AnsweredMeanwhile(current.answer if current else None)
    standing = _standing(live.store.events(live.key, slot=slot(*asked)))
    last = standing[-1]
    if not authorship.is_own(last, person):
        fault = Fault("answer", f"given by {last.by or 'somebody else'}", "answer again instead, if you disagree")
        raise Refused("answer", [fault])
    body = answer_taken_back.Body.model_validate(
        {"question": asked[0], "of": asked[1], "answer": last.seq, **_before(standing[:-1])}
    )
    try:
        return recorder.record(live, person, body, slot=slot(*asked), follows=seen)
    except Overtaken as error:
        raise overtaken(live, asked, error) from error


def _standing(events: Iterable[Event]) -> list[Event]:
    """The answers that were not taken back, oldest first."""
    answers: list[Event] = []
    for event in events:
        if event.kind == answer.Body.KIND:
            answers.append(event)
        else:
            answers.pop()
    return answers


def _before(standing: list[Event]) -> dict[str, str | int]:
    """Fields of the answer that stands again."""
    if not standing:
        return {}
    event = standing[-1]
    fields = stored(event).answer
    kept = {name: getattr(fields, name) for name in ("value", "evidence", "note", "by", "on")}
    return {"given": event.seq, "at": event.at, **kept}
