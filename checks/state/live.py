"""The present state of one plant, kept up to date with the store."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from threading import Lock
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.events.answering import answer, answer_taken_back
from checks.events.answering.answer import StoredAnswer
from checks.events.plant import plant_data
from checks.journal.event import Event
from checks.journal.store import Store, Version
from checks.plantfile.equipment import Group
from checks.plantfile.plant import Answer, Asked, Plant, System, Zone
from checks.state import effective_answers
from checks.state.records import Records
from checks.state.replay import Fold


@dataclass(frozen=True)
class State:
    """The state at one version: the assessment, each stored answer and the answer it replaced, and the records.

    The assessment uses the effective answers on ``day``: see ``state.effective_answers``. For a reader with limited access
    the state holds only answers of the addressees in ``within``: see ``visibility.redaction``.
    """

    version: Version
    assessment: Assessment
    stored: Mapping[Asked, StoredAnswer]
    replaced: Mapping[Asked, Answer]
    records: Records
    day: date
    within: frozenset[str] | None = None

    def is_visible(self, of: str) -> bool:
        """Whether the state holds the answers of an addressee."""
        return self.within is None or of in self.within

    def is_answerable(self, of: str) -> bool:
        """Whether the reader's team answers for an addressee: a team of some systems does not answer for the whole plant."""
        return self.within is None or (of in self.within and of != "plant")

    @property
    def systems(self) -> dict[str, System]:
        """Safety systems that the reader may see."""
        return {key: system for key, system in self.plant.systems.items() if self.is_visible(f"system:{key}")}

    @property
    def groups(self) -> dict[str, Group]:
        """Groups whose answers the reader may see."""
        return {key: group for key, group in self.plant.groups.items() if self.is_visible(f"group:{key}")}

    @property
    def zones(self) -> dict[str, Zone]:
        """Zones whose answers the reader may see."""
        return {key: zone for key, zone in self.plant.zones.items() if self.is_visible(f"zone:{key}")}

    @property
    def plant(self) -> Plant:
        """The plant without its answers."""
        return self.assessment.plant

    def file(self) -> Plant:
        """The plant with the effective answers that are shown, ready to be written as a plant file."""
        known = {"plant"}
        for kind, block in (("system", self.plant.systems), ("group", self.plant.groups), ("zone", self.plant.zones)):
            known |= {f"{kind}:{key}" for key in block}
        answers = [
            answer
            for answer in self.assessment.answers
            if answer.of in known and (answer.question, answer.of) in self.stored
        ]
        return self.plant.model_copy(update={"answers": answers})

    def ended(self, asked: Asked) -> bool:
        """Whether an answer is a claim because its recorded evidence expired or was withdrawn since it was given."""
        return asked in self.stored and effective_answers.ended(self.stored[asked], self.records, self.day)

    def answer_to_repeat(self, asked: Asked) -> Answer | None:
        """The stored answer as a starting point for the next one: without its evidence text where its evidence has ended."""
        if asked not in self.stored:
            return None
        stored = self.stored[asked].answer
        return stored.model_copy(update={"evidence": ""}) if self.ended(asked) else stored

    def before(self, question: str, of: str) -> Assessment:
        """The assessment before the present answer: with the answer it replaced, or without one."""
        asked = (question, of)
        if asked not in self.stored:
            return self.assessment
        if asked in self.replaced:
            return self.assessment.with_answers([self.replaced[asked]])
        return self.assessment.without_answer(question, of)


def _now() -> datetime:
    return datetime.now(UTC)


class Live:
    """Follows one plant in a store. All browsers share one Live; each gets an immutable State."""

    def __init__(self, store: Store, plant: int, *, clock: Callable[[], datetime] = _now) -> None:
        self.store, self.key, self.clock = store, plant, clock
        self._lock = Lock()
        self._state: State | None = None
        self._fold = Fold()

    def state(self) -> State:
        """The state at the latest version; one small query where nothing has changed."""
        version, day = self.store.version(self.key), self.clock().date()
        with self._lock:
            current = self._state
            if current is None:
                current = self._rebuilt(day)
            elif current.version.last < version.last:
                events = self.store.events(self.key, after=current.version.last)
                again = any(event.kind == plant_data.Body.KIND for event in events)
                current = self._rebuilt(day) if again else self._advanced(current, events)
            if current.day != day:
                current = _at_day(day, current)
            self._state = current
            return current

    def journal_at(self, state: State) -> dict[str, Any]:
        """Number of events in a state and the hash after the last one: a signature over these covers all of them."""
        return {"events": state.version.last, "head": self.store.head(self.key, state.version.last)}

    def _rebuilt(self, day: date) -> State:
        events = self.store.events(self.key)
        self._fold = Fold()
        records = self._replayed(events)
        bare = self._fold.present()
        stored, replaced = _apply({}, {}, events)
        answers = Answers(effective_answers.all_of(stored.values(), records, day))
        assessment = Assessment(bare.plant, answers, links=bare.links, editions=bare.editions)
        return State(_version_after(Version(0, 0), events), assessment, stored, replaced, records, day)

    def _advanced(self, state: State, events: list[Event]) -> State:
        records = self._replayed(events)
        stored, replaced = _apply(state.stored, state.replaced, events)
        changed = dict.fromkeys(filter(None, map(effective_answers.touched, events)))
        touched = {asked: stored[asked] for asked in changed if asked in stored}
        assessment = state.assessment
        for asked in changed:
            if asked in state.stored and asked not in stored:
                assessment = assessment.without_answer(*asked)
        if touched:
            assessment = assessment.with_answers(effective_answers.all_of(touched.values(), records, state.day))
        return State(_version_after(state.version, events), assessment, stored, replaced, records, state.day)

    def _replayed(self, events: list[Event]) -> Records:
        for event in events:
            self._fold.add(event)
        return self._fold.records()


def _at_day(day: date, state: State) -> State:
    """The same state on another day: only answers with recorded evidence can change."""
    dated = [state.stored[asked] for asked in state.records.evidence if asked in state.stored]
    assessment = state.assessment
    if dated:
        assessment = assessment.with_answers(effective_answers.all_of(dated, state.records, day))
    return replace(state, assessment=assessment, day=day)


def _version_after(version: Version, events: list[Event]) -> Version:
    """The version after these events."""
    data = max((event.seq for event in events if event.kind == plant_data.Body.KIND), default=version.data)
    return Version(data, max(version.last, events[-1].seq if events else 0))


def _apply(
    stored: Mapping[Asked, StoredAnswer], replaced: Mapping[Asked, Answer], events: Iterable[Event]
) -> tuple[dict[Asked, StoredAnswer], dict[Asked, Answer]]:
    """Apply answer events in order. An answer with the same value replaces nothing."""
    latest, before = dict(stored), dict(replaced)
    for event in events:
        if event.kind == answer.Body.KIND:
            row = answer.stored(event)
            earlier = latest.get(row.asked)
            if earlier is not None and earlier.answer.value != row.answer.value:
                before[row.asked] = earlier.answer
            latest[row.asked] = row
        elif event.kind == answer_taken_back.Body.KIND:
            _take_back(event, latest, before)
    return latest, before


def _take_back(event: Event, latest: dict[Asked, StoredAnswer], before: dict[Asked, Answer]) -> None:
    """Put the answer that stood before in the place of the one taken back, which it then replaces."""
    asked, restored = answer_taken_back.Body.read(event).asked, answer_taken_back.stored(event)
    taken = latest.pop(asked, None)
    before.pop(asked, None)
    if restored is not None:
        latest[asked] = restored
        if taken is not None:
            before[asked] = taken.answer
