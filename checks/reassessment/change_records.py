"""Recording a change: what it will affect, system by system, the record itself, and taking it back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from checks.access.names import same
from checks.access.roles import Person
from checks.events.plant import change as plant_change
from checks.events.plant import entry_taken_back
from checks.journal.event import Event
from checks.journal.event_body import named
from checks.plantfile.plant import Asked
from checks.reassessment import reopening
from checks.reassessment.reopening import Change, Reopened
from checks.recording import authorship, recorder, teams
from checks.recording.field_checks import day_faults, missing, too_long
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live, State
from checks.state.reopened import Change as Recorded
from checks.text.faults import Fault, Refused


@dataclass(frozen=True, slots=True)
class Affected:
    """What a change does to one system: answers to confirm, of which ``shared`` are of its zones or the plant.

    ``in_force`` are the signed halves that hold now; the change invalidates them where it concerns the system. A system that
    is not concerned only shares answers.
    """

    system: str
    concerned: bool
    to_confirm: int
    shared: int
    in_force: tuple[str, ...]

    @property
    def signed(self) -> tuple[str, ...]:
        """The halves whose signature the change invalidates."""
        return self.in_force if self.concerned else ()


def affected(state: State, change: Change) -> list[Affected]:
    """What a change will do, for each system that it reaches; raises Refused for a change that does not fit the plant."""
    answers = reopening.reopened(change, state.plant, state.assessment.answers)
    links = state.assessment.links
    touched = reopening.concerned(change, state.plant, links)
    effects = []
    for system in state.plant.systems:
        scope = basis.scope(state.plant, links, system)
        reached = [of for _, of in answers if of in scope.addressees]
        if reached or system in touched:
            shared = sum(of == "plant" or of.startswith("zone:") for of in reached)
            in_force = revisions.halves_in_force(state, system)
            effects.append(Affected(system, system in touched, len(reached), shared, in_force))
    return effects


def record_change(live: Live, person: Person, change: Change, *, reference: str, on: str, what: str) -> Event:
    """Record a plant change or an advisory; reopens only the answers that it affects.

    ``on`` is an ISO date. Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, plant_change.Body.PERMISSION, _addressees(state, change))
    faults = day_faults("on", on) + missing("what", what, "what was changed, in a sentence")
    faults += too_long("what", what) + too_long("reference", reference, 200)
    try:
        reopening.check(change, state.plant)
    except Refused as refused:
        faults += refused.faults
    if faults:
        raise Refused("change", faults)
    words = {"reference": reference.strip(), "on": on, "what": what.strip()}
    return recorder.record(live, person, body(state, change, reopened(state, [change]), words))


def _addressees(state: State, change: Change) -> set[str]:
    """Addressees that a team must answer for to record the change: of a device the groups that have it."""
    links = state.assessment.links
    groups = {
        f"group:{key}"
        for of in change.touched
        if of.startswith("device:")
        for key in reopening.groups_touched(of, state.plant, links)
    }
    return groups | {of for of in change.touched if not of.startswith("device:")}


def require_seen(state: State, change: Change, seen: Iterable[str]) -> None:
    """Raise Refused where the change invalidates other signatures than those of ``seen``, which the person was told of."""
    now = [effect.system for effect in affected(state, change) if effect.signed]
    if set(now) != set(seen):
        what = f"it invalidates those of {', '.join(now) or 'no system'} now"
        raise Refused("change", [Fault("signatures", what, "look at the list again")])


def reopened(state: State, changes: Iterable[Change]) -> Reopened:
    """Answers reopened by any of these changes."""
    answers = (reopening.reopened(change, state.plant, state.assessment.answers) for change in changes)
    return frozenset[Asked]().union(*answers)


def body(state: State, change: Change, answers: Reopened, words: Mapping[str, str]) -> plant_change.Body:
    """The event body of a change; ``words`` are its reference, its day and what was changed."""
    return plant_change.Body(
        reference=words["reference"],
        on=words["on"],
        what=words["what"],
        kind=change.kind,
        touched=tuple(sorted(change.touched)),
        topics=tuple(sorted(reopening.topics_of(change))),
        reopened=named(sorted(answers)),
        data_to_check=reopening.data_to_check(change, state.plant),
        systems=tuple(reopening.concerned(change, state.plant, state.assessment.links)),
    )


def may_take_back(state: State, change: Recorded, person: Person) -> bool:
    """Whether a change is the person's own by name, and nobody has built on it."""
    own = bool(person.name.strip()) and same(change.cause.by, person.name)
    return own and not _in_the_way(state, change)


def _in_the_way(state: State, change: Recorded) -> list[Fault]:
    """Why a change is not taken back by anybody: it follows from a failure, or somebody has built on it."""
    faults = []
    if change.of_failure:
        faults.append(Fault("change", "it follows from a failure", "complete the record of the failure instead"))
    asked = [answer.asked for answer in change.body.reopened]
    return faults + built_on(state, change.cause.seq, change.body.systems, asked)


def take_back(live: Live, person: Person, entry: int) -> Event:
    """Take back one's own change: the answers it reopened and the signatures it invalidated are as before.

    ``entry`` is the number of its event. Raises NotAllowed, and Refused where it is another person's, follows from a
    failure, or somebody has built on it.
    """
    person.require(plant_change.Body.PERMISSION)
    state = live.state()
    change = next((change for change in state.records.changes if change.cause.seq == entry), None)
    if change is None:
        raise Refused("change", [Fault("change", "no longer on record", "nothing to take back")])
    (event,) = live.store.events_numbered(live.key, [entry])
    faults = authorship.faults(event, person, "record the change that puts it right instead")
    faults += _in_the_way(state, change)
    if faults:
        raise Refused("change", faults)
    undone = entry_taken_back.Body(entry=entry, systems=change.body.systems)
    return recorder.record(live, person, undone, slot=f"taken back {entry}")


def built_on(state: State, entry: int, systems: Iterable[str], answers: Iterable[Asked]) -> list[Fault]:
    """A fault for each thing that somebody has built on an entry: confirmed or new answers, later revisions and signatures."""
    records = state.records
    faults = []
    for asked in answers:
        confirmed, stored = records.confirmed.get(asked), state.stored.get(asked)
        if (confirmed and confirmed.seq > entry) or (stored and stored.id > entry):
            faults.append(Fault("answers", f"{asked[0]} of {asked[1]} was confirmed or answered since", "it stays"))
            break
    for system in systems:
        last = records.latest(system)
        later = () if last is None else (last.cause.seq, *(signed.cause.seq for signed in last.signatures.values()))
        if any(number > entry for number in later):
            faults.append(Fault("system", f"{system} was submitted or signed since", "it stays"))
    return faults
