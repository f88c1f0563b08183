"""The present state of one plant, kept in step with the store."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from threading import Lock

from checks.answers import Answers
from checks.assess import Assessment
from checks.plant import Answer, Plant
from checks.store.store import Store, Stored, Version

Asked = tuple[str, str]
"""A question and the addressee of whom it is answered."""


@dataclass(frozen=True)
class State:
    """What holds at one version: the assessment, and for each answer what is stored and what it replaced."""

    version: Version
    assessment: Assessment
    stored: Mapping[Asked, Stored]
    replaced: Mapping[Asked, Answer]

    @property
    def plant(self) -> Plant:
        """The plant without its answers."""
        return self.assessment.plant

    def file(self) -> Plant:
        """The plant with the answers that hold now, ready to be written as a plant file."""
        known = {"plant"}
        for kind, block in (("system", self.plant.systems), ("group", self.plant.groups), ("zone", self.plant.zones)):
            known |= {f"{kind}:{key}" for key in block}
        return self.plant.model_copy(update={"answers": [one for one in self.assessment.answers if one.of in known]})

    def before(self, question: str, of: str) -> Assessment:
        """The assessment as it was before the answer that holds now: with the one it replaced, or with none."""
        asked = (question, of)
        if asked not in self.stored:
            return self.assessment
        if asked in self.replaced:
            return self.assessment.with_answers([self.replaced[asked]])
        return self.assessment.without_answer(question, of)


class Live:
    """Follows one plant in a store. One of these serves every browser; each gets an unchanging State."""

    def __init__(self, store: Store, plant: int) -> None:
        self.store, self.key = store, plant
        self._lock = Lock()
        self._state: State | None = None

    def state(self) -> State:
        """The state at the latest version; costs one small query when nothing has changed."""
        version = self.store.version(self.key)
        with self._lock:
            held = self._state
            if held is None or held.version.data < version.data:
                held = self._fresh(version)
            elif held.version.answers < version.answers:
                held = self._later(held)
            self._state = held
            return held

    def _fresh(self, version: Version) -> State:
        plant, rows = self.store.plant(self.key), self.store.answers_after(self.key, 0)
        stored, replaced = _follow({}, {}, rows)
        assessment = Assessment(plant, Answers(one.answer for one in stored.values()))
        last = rows[-1].id if rows else 0
        return State(Version(version.data, last), assessment, stored, replaced)

    def _later(self, held: State) -> State:
        rows = self.store.answers_after(self.key, held.version.answers)
        stored, replaced = _follow(held.stored, held.replaced, rows)
        assessment = held.assessment.with_answers(one.answer for one in rows)
        last = rows[-1].id if rows else held.version.answers
        version = Version(held.version.data, last)
        return State(version, assessment, stored, replaced)


def _follow(
    stored: Mapping[Asked, Stored], replaced: Mapping[Asked, Answer], rows: Iterable[Stored]
) -> tuple[dict[Asked, Stored], dict[Asked, Answer]]:
    """Add rows in order. An answer that only adds evidence or a note replaces nothing."""
    held, before = dict(stored), dict(replaced)
    for row in rows:
        asked = (row.answer.question, row.answer.of)
        earlier = held.get(asked)
        if earlier is not None and earlier.answer.value != row.answer.value:
            before[asked] = earlier.answer
        held[asked] = row
    return held, before
