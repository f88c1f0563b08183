"""Comments of a review: a reviewer begins one for their half, and everybody who takes part in the review replies.

They stay with their revision through every later state. A comment does not end the review, as sending back does.
"""

from __future__ import annotations

from collections.abc import Iterable

from checks.access.roles import HALF_OF, Person
from checks.events.signoff import review_comment
from checks.journal.event import Event
from checks.recording import field_checks, recorder, teams
from checks.state.live import Live
from checks.state.revision_status import Comment, Revision
from checks.text.faults import Fault, Refused


def halves(person: Person) -> tuple[str, ...]:
    """Halves for which a person may begin a comment."""
    return tuple(half for role, half in HALF_OF.items() if role in person.roles)


def comment(live: Live, person: Person, revision: Revision, *, half: str, text: str) -> Event:
    """Comment on a revision as the reviewer of a half. Raises NotAllowed and Refused."""
    person.require(review_comment.Body.PERMISSION)
    faults = _text_faults(text)
    if half not in halves(person):
        yours = " and the ".join(halves(person))
        allowed = f"yours is the {yours} half" if yours else "a reviewer begins a comment; reply to one"
        faults.append(Fault("half", f"found {half!r}", allowed))
    return _recorded(live, person, revision, faults, half=half, text=text.strip())


def reply(live: Live, person: Person, revision: Revision, *, to: int, text: str) -> Event:
    """Reply to a comment or to a reply; ``to`` is the number of its event. Raises NotAllowed and Refused."""
    person.require(review_comment.Body.PERMISSION)
    faults = _text_faults(text)
    thread = live.state().records.again(revision).thread
    answered = next((each for each in thread if each.cause.seq == to), None)
    if answered is None:
        faults.append(Fault("comment", f"{revision.system} has no comment {to} there", "choose one of the list"))
    half = "" if answered is None else answered.half
    return _recorded(live, person, revision, faults, half=half, text=text.strip(), reply_to=to)


def in_threads(thread: Iterable[Comment]) -> list[tuple[int, Comment]]:
    """Comments each followed by its replies, with their depth; those of one depth in the order of their events."""
    listed = tuple(thread)

    def below(number: int, depth: int) -> list[tuple[int, Comment]]:
        return [
            entry
            for each in listed
            if each.reply_to == number
            for entry in ((depth, each), *below(each.cause.seq, depth + 1))
        ]

    return below(0, 0)


def _text_faults(text: str) -> list[Fault]:
    return field_checks.missing("comment", text, "write the comment") + field_checks.too_long("comment", text)


def _recorded(live: Live, person: Person, revision: Revision, faults: list[Fault], **fields: str | int) -> Event:
    teams.require(live.state(), person, review_comment.Body.PERMISSION, [f"system:{revision.system}"])
    if faults:
        raise Refused("comment", faults)
    body = review_comment.Body.model_validate({"system": revision.system, "number": revision.number, **fields})
    return recorder.record(live, person, body)
