"""The state as a person may see it: everything their roles need, and nothing else.

A screen never holds what its reader may not see. Results stay; answers, evidence, gaps and names are removed where no
role of the reader permits them, or permits them only for the systems of their own team. The number of gaps stays for
those who may see it everywhere. An answer of another system that applies to a shared group keeps its value only.
Answers hidden by a blind round are removed for those who answer: see ``visibility.blind_round``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from checks.access.names import token
from checks.access.roles import Person
from checks.assessment.answers import Answers, ByQuestion
from checks.assessment.assessment import Assessment
from checks.assessment.results import HIDDEN, FunctionResult, GroupResult, ZoneResult
from checks.plantfile.plant import Answer, Asked
from checks.recording import teams
from checks.state.live import State
from checks.state.records import Records
from checks.visibility import blind_round, changes_of_others

ANSWERS, GAPS, EVIDENCE, NAMES = (
    "see the common-cause answers",
    "see gap detail",
    "see evidence",
    "see who dissented",
)
COUNTS = "see gap counts"
ASKED = ("evidence", "withdrawn", "dissents", "private", "to_confirm", "to_answer_again", "confirmed", "efforts")
"""Records that belong to an answer."""
ELSEWHERE = "kept by another team"
"""Replaces evidence and notes that the reader may not see. Their existence is no secret, since it affects results."""

Kept = TypeVar("Kept")


def sees_all(state: State, person: Person) -> bool:
    """Whether a person sees everything: permitted for every system, and nothing hidden or private."""
    return _sees_names(person) and not blind_round.hides(state, person) and not _waiting(state.records)


def sees_answers(person: Person) -> bool:
    """Whether the roles of a person permit every answer, gap and piece of evidence; names may still be hidden."""
    return all(person.may_everywhere(permission) for permission in (ANSWERS, GAPS, EVIDENCE))


def _sees_names(person: Person) -> bool:
    """Whether the roles of a person permit every answer, gap and piece of evidence, and the names of dissenters."""
    return person.may_everywhere(NAMES) and sees_answers(person)


def seen(state: State, person: Person) -> State:
    """The state as a person may see it; the same object if they see everything."""
    return with_own(by_rights(state, person), state, person)


def with_own(shown: State, full: State, person: Person) -> State:
    """The state shown to everybody with a person's rights, with the person's own private answers from the full state."""
    waiting = (answer for answers in full.records.private.values() for answer in answers if not answer.revealed)
    whose = token(person.name, person.identity)
    own = {answer.last: answer for answer in waiting if answer.whose == whose}
    if not own:
        return shown
    private = shown.records.private
    merged = {asked: tuple(own.get(answer.last, answer) for answer in answers) for asked, answers in private.items()}
    return replace(shown, records=replace(shown.records, private=merged))


def by_rights(state: State, person: Person) -> State:
    """The state as everybody with a person's rights may see it. Unrevealed private answers keep only that they exist."""
    if blind_round.hides(state, person):
        state = blind_round.hidden(state)
    if _waiting(state.records):
        state = replace(state, records=_without_unrevealed(state.records))
    if _sees_names(person):
        return state
    if sees_answers(person):
        return replace(state, records=_without_dissenters(state.records))
    member = all(person.may(permission) for permission in (ANSWERS, GAPS, EVIDENCE))
    systems = frozenset(person.systems or ()) if member else frozenset[str]()
    within = teams.own(state.plant, state.assessment.links, systems)
    return replace(
        state,
        assessment=_redacted_results(state.assessment, within, counts=person.may_everywhere(COUNTS)),
        stored=_within(within, state.stored),
        replaced=_within(within, state.replaced),
        records=_without_dissenters(_records(state, within, systems)),
        within=within,
    )


def _within(within: frozenset[str], entries: Mapping[Asked, Kept]) -> dict[Asked, Kept]:
    return {asked: entry for asked, entry in entries.items() if asked[1] in within}


def _redacted_results(full: Assessment, within: frozenset[str], *, counts: bool) -> Assessment:
    """An assessment whose results show only answers of ``within``.

    Those who answer see the effect on all results, so the other answers still count, reduced to their values.
    """

    def shown(group: GroupResult) -> GroupResult:
        return replace(group, answers=_bare_answers(group.answers, within) if f"group:{group.id}" in within else {})

    groups = {key: shown(full.group(key)) for key in full.plant.groups}
    functions = {key: full.function(key).with_groups(shown) for key in full.plant.functions}
    zones = {
        key: zone
        if f"zone:{key}" in within
        else replace(zone, answers={}, gaps=(HIDDEN,) * len(zone.gaps) if counts else ())
        for key in full.plant.zones
        for zone in (full.zone(key),)
    }
    answers = Answers(bare(answer, within) for answer in full.answers) if within else Answers()
    return RedactedAssessment(full, answers, (groups, functions, zones))


class RedactedAssessment(Assessment):
    """The results of an assessment with the answers that a reader may see; further opinions take their figures from all."""

    def __init__(
        self,
        full: Assessment,
        answers: Answers,
        known: tuple[dict[str, GroupResult], dict[str, FunctionResult], dict[str, ZoneResult]],
    ) -> None:
        super().__init__(full.plant, answers, links=full.links, editions=full.editions, known=known)
        self._full = full

    @property
    def all_answers(self) -> Assessment:
        """The assessment with the answers that the reader may not see, for figures only."""
        return self._full.all_answers


def fixed(assessment: Assessment, within: Collection[str] | None) -> Assessment:
    """The assessment of a revision as a reader may see it; ``within`` is from the present state, None for everything."""
    if within is None:
        return assessment
    return Assessment(
        assessment.plant,
        Answers(bare(answer, within) for answer in assessment.answers),
        links=assessment.links,
        editions=assessment.editions,
    )


def bare(answer: Answer, within: Collection[str]) -> Answer:
    """An answer as a reader may see it: whole if its addressee is in ``within``, else its value only."""
    if answer.of in within:
        return answer
    texts = {name: ELSEWHERE if getattr(answer, name).strip() else "" for name in ("evidence", "note")}
    return answer.model_copy(update={**texts, "by": "", "on": ""})


def _bare_answers(answers: ByQuestion, within: Collection[str]) -> dict[str, Answer]:
    return {name: bare(answer, within) for name, answer in answers.items()}


def _records(state: State, within: frozenset[str], systems: frozenset[str]) -> Records:
    """Records of some systems and their addressees."""
    full = state.records
    hidden: dict[str, Any] = {name: _within(within, getattr(full, name)) for name in ASKED}
    hidden |= {
        name: {key: entry for key, entry in getattr(full, name).items() if key in systems}
        for name in ("revisions", "attended", "rounds", "intervals")
    }
    hidden["accepted"] = {key: acceptance for key, acceptance in full.accepted.items() if key[0] in systems}
    hidden["changes"] = tuple(change for change in full.changes if systems.intersection(change.body.systems))
    hidden["failures"] = tuple(failure for failure in full.failures if systems.intersection(failure.body.systems))
    hidden["actions"] = {
        key: action
        for key, action in full.actions.items()
        if action[0].addressees and within.issuperset(action[0].addressees)
    }
    hidden["allowed"] = {change: entry for change, entry in full.allowed.items() if change.of in within}
    own = replace(full, **hidden)
    return replace(own, **changes_of_others.redacted(own, full.changes, state.plant, within))


def _waiting(full: Records) -> bool:
    """Whether any private answer is not yet revealed."""
    return any(not answer.revealed for answers in full.private.values() for answer in answers)


def _without_unrevealed(full: Records) -> Records:
    """The records without the content and authors of unrevealed private answers."""
    private = {
        asked: tuple(
            answer if answer.revealed else replace(answer, whose="", who="", value="", note="") for answer in answers
        )
        for asked, answers in full.private.items()
    }
    return replace(full, private=private)


def _without_dissenters(full: Records) -> Records:
    """The records without the names of dissenters."""
    dissents = {
        asked: tuple(replace(dissent, who="", cause=replace(dissent.cause, by="")) for dissent in opinions)
        for asked, opinions in full.dissents.items()
    }
    return replace(full, dissents=dissents)
