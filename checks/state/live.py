"""The present state of one plant, kept in step with the store."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from threading import Lock
from typing import Any

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.events.answering import answer
from checks.events.answering.answer import StoredAnswer
from checks.events.plant import plant_data
from checks.journal.event import Event
from checks.journal.store import Store, Version
from checks.plantfile.plant import Answer, Asked, Group, Plant, System, Zone
from checks.state import effective_answers
from checks.state.records import Records
from checks.state.replay import Fold


@dataclass(frozen=True)
class State:
    """What holds at one version: the assessment, for each answer what is stored and what it replaced, and the records.

    The assessment is of the answers as they *speak* on ``day``: see ``state.effective_answers``. A reader who may not see every
    answer gets a state that holds those given of ``within`` only: see ``visibility.redaction``.
    """

    version: Version
    assessment: Assessment
    stored: Mapping[Asked, StoredAnswer]
    replaced: Mapping[Asked, Answer]
    records: Records
    day: date
    within: frozenset[str] | None = None

    def shows(self, of: str) -> bool:
        """Whether the state holds what was answered of an addressee."""
        return self.within is None or of in self.within

    def takes(self, of: str) -> bool:
        """Whether the reader's team answers for an addressee: that of some systems does not for the plant as a whole."""
        return self.within is None or (of in self.within and of != "plant")

    @property
    def systems(self) -> dict[str, System]:
        """Safety systems that the reader may look into."""
        return {key: one for key, one in self.plant.systems.items() if self.shows(f"system:{key}")}

    @property
    def groups(self) -> dict[str, Group]:
        """Groups whose answers the reader may see."""
        return {key: one for key, one in self.plant.groups.items() if self.shows(f"group:{key}")}

    @property
    def zones(self) -> dict[str, Zone]:
        """Zones whose answers the reader may see."""
        return {key: one for key, one in self.plant.zones.items() if self.shows(f"zone:{key}")}

    @property
    def plant(self) -> Plant:
        """The plant without its answers."""
        return self.assessment.plant

    def file(self) -> Plant:
        """The plant with the answers that hold now and are shown, ready to be written as a plant file."""
        known = {"plant"}
        for kind, block in (("system", self.plant.systems), ("group", self.plant.groups), ("zone", self.plant.zones)):
            known |= {f"{kind}:{key}" for key in block}
        told = [one for one in self.assessment.answers if one.of in known and (one.question, one.of) in self.stored]
        return self.plant.model_copy(update={"answers": told})

    def ended(self, asked: Asked) -> bool:
        """Whether an answer is a claim because the evidence recorded beside it has ended since it was given."""
        return asked in self.stored and effective_answers.ended(self.stored[asked], self.records, self.day)

    def given(self, asked: Asked) -> Answer | None:
        """What was answered, as it stands to be answered again: without what was written as evidence where that ended."""
        if asked not in self.stored:
            return None
        holds = self.stored[asked].answer
        return holds.model_copy(update={"evidence": ""}) if self.ended(asked) else holds

    def before(self, question: str, of: str) -> Assessment:
        """The assessment as it was before the answer that holds now: with the one it replaced, or with none."""
        asked = (question, of)
        if asked not in self.stored:
            return self.assessment
        if asked in self.replaced:
            return self.assessment.with_answers([self.replaced[asked]])
        return self.assessment.without_answer(question, of)


def _now() -> datetime:
    return datetime.now(UTC)


class Live:
    """Follows one plant in a store. One of these serves every browser; each gets an unchanging State."""

    def __init__(self, store: Store, plant: int, *, clock: Callable[[], datetime] = _now) -> None:
        self.store, self.key, self.clock = store, plant, clock
        self._lock = Lock()
        self._state: State | None = None
        self._fold = Fold()

    def state(self) -> State:
        """The state at the latest version; costs one small query when nothing has changed."""
        version, day = self.store.version(self.key), self.clock().date()
        with self._lock:
            held = self._state
            if held is None:
                held = self._fresh(day)
            elif held.version.last < version.last:
                events = self.store.events(self.key, after=held.version.last)
                again = any(event.kind == plant_data.Body.KIND for event in events)
                held = self._fresh(day) if again else self._later(held, events)
            if held.day != day:
                held = _on(day, held)
            self._state = held
            return held

    def journal_at(self, held: State) -> dict[str, Any]:
        """How many events a state has seen and the hash after the last: whoever signs this signs all of them."""
        return {"events": held.version.last, "head": self.store.head(self.key, held.version.last)}

    def _fresh(self, day: date) -> State:
        events = self.store.events(self.key)
        self._fold = Fold()
        records = self._folded(events)
        bare = self._fold.present()
        held, replaced = _follow({}, {}, events)
        answers = Answers(effective_answers.all_of(held.values(), records, day))
        assessment = Assessment(bare.plant, answers, links=bare.links, editions=bare.editions)
        return State(_reached(Version(0, 0), events), assessment, held, replaced, records, day)

    def _later(self, held: State, events: list[Event]) -> State:
        records = self._folded(events)
        stored, replaced = _follow(held.stored, held.replaced, events)
        touched = {asked: stored[asked] for asked in map(effective_answers.touched, events) if asked in stored}
        assessment = held.assessment
        if touched:
            assessment = assessment.with_answers(effective_answers.all_of(touched.values(), records, held.day))
        return State(_reached(held.version, events), assessment, stored, replaced, records, held.day)

    def _folded(self, events: list[Event]) -> Records:
        for one in events:
            self._fold.add(one)
        return self._fold.records()


def _on(day: date, held: State) -> State:
    """The same state on another day: only answers with dated evidence can speak otherwise."""
    dated = [held.stored[asked] for asked in held.records.evidence if asked in held.stored]
    assessment = held.assessment
    if dated:
        assessment = assessment.with_answers(effective_answers.all_of(dated, held.records, day))
    return replace(held, assessment=assessment, day=day)


def _reached(version: Version, events: list[Event]) -> Version:
    """The version after these events."""
    data = max((event.seq for event in events if event.kind == plant_data.Body.KIND), default=version.data)
    return Version(data, max(version.last, events[-1].seq if events else 0))


def _follow(
    stored: Mapping[Asked, StoredAnswer], replaced: Mapping[Asked, Answer], events: Iterable[Event]
) -> tuple[dict[Asked, StoredAnswer], dict[Asked, Answer]]:
    """Add answers in order. One that only adds evidence or a note replaces nothing."""
    held, before = dict(stored), dict(replaced)
    for row in (answer.stored(event) for event in events if event.kind == answer.Body.KIND):
        asked = row.asked
        earlier = held.get(asked)
        if earlier is not None and earlier.answer.value != row.answer.value:
            before[asked] = earlier.answer
        held[asked] = row
    return held, before
