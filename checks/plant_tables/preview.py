"""What a draft changes before it is stored: entries new, changed and gone, results that move, sign-offs it invalidates."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from math import isclose

from checks.assessment.assessment import Assessment
from checks.plant_tables import rows
from checks.plant_tables.columns import SHEETS
from checks.plant_tables.entries import OWNER
from checks.plant_tables.rows import Row
from checks.plantfile.plant import Answer, Plant
from checks.revision import basis
from checks.state.live import State
from scoring.erosion import Cases

SAME = 1e-9
"""Relative difference below which a result does not move."""


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that is new, changed or gone: sheet, id, and for a changed one its fields as (key, old text, new text)."""

    sheet: str
    id: str
    fields: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """A function whose result moves: its demand mode and its cases before and after; None where it is new or gone."""

    function: str
    demand: str
    before: Cases | None
    after: Cases | None


@dataclass(frozen=True, slots=True)
class Invalidated:
    """A revision that the change invalidates: system, number, and the halves that have signed it."""

    system: str
    number: int
    signed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """Consequences of a draft. ``unused`` counts the stored answers of entries that it removes."""

    new: tuple[Change, ...]
    changed: tuple[Change, ...]
    gone: tuple[Change, ...]
    moves: tuple[Move, ...]
    invalidated: tuple[Invalidated, ...]
    unused: int

    @property
    def nothing(self) -> bool:
        """Whether the draft changes nothing."""
        return not (self.new or self.changed or self.gone)


def preview(state: State, after: Plant, given: Collection[Answer] = ()) -> Preview:
    """Consequences of plant data ``after`` in place of those of a state, with its answers and those ``given`` with them."""
    before = state.plant
    new, changed, gone = changes(before, after)
    now, then = state.assessment, state.assessment.with_plant(after)
    if given:
        then = then.with_answers(given)
    lost = _addressees(before) - _addressees(after)
    unused = sum(of in lost for _, of in state.stored)
    return Preview(new, changed, gone, tuple(_moves(now, then)), tuple(_invalidated(state, then)), unused)


def _addressees(plant: Plant) -> set[str]:
    """What answers may be given for, besides the whole plant."""
    return {f"{kind}:{key}" for kind in ("system", "group", "zone") for key in getattr(plant, f"{kind}s")}


def changes(before: Plant, after: Plant) -> tuple[tuple[Change, ...], tuple[Change, ...], tuple[Change, ...]]:
    """Entries that are new, changed and gone, sheet by sheet."""
    old, new = _by_id(before), _by_id(after)
    added = tuple(Change(*place) for place in new if place not in old)
    gone = tuple(Change(*place) for place in old if place not in new)
    fields = ((place, tuple(_fields(place[0], old[place], row))) for place, row in new.items() if place in old)
    return added, tuple(Change(*place, differing) for place, differing in fields if differing), gone


def _by_id(plant: Plant) -> dict[tuple[str, str], Row]:
    """Rows by sheet and id; the tests of a group are numbered."""
    found: dict[tuple[str, str], Row] = {}
    for sheet, lines in rows.of_plant(plant).items():
        count: dict[str, int] = {}
        for row in lines:
            key = "plant" if sheet == "Plant" else row[OWNER.get(sheet, "id")]
            count[key] = count.get(key, 0) + 1
            found[sheet, f"{key} test {count[key]}" if sheet == "Tests" else key] = row
    return found


def _fields(sheet: str, old: Row, new: Row) -> Iterator[tuple[str, str, str]]:
    for column in SHEETS[sheet]:
        texts = old.get(column.key, ""), new.get(column.key, "")
        if texts[0] != texts[1]:
            yield column.key, *texts


def _moves(now: Assessment, then: Assessment) -> Iterator[Move]:
    for key in dict.fromkeys((*now.plant.functions, *then.plant.functions)):
        before = now.function(key) if key in now.plant.functions else None
        after = then.function(key) if key in then.plant.functions else None
        demand = (after or before).demand if after or before else ""  # type: ignore[union-attr]
        cases = tuple(result.cases if result else None for result in (before, after))
        if cases[0] is None or cases[1] is None or not _alike(cases[0], cases[1]):
            yield Move(key, demand, *cases)


def _alike(before: Cases, after: Cases) -> bool:
    names = Cases.__dataclass_fields__
    return all(isclose(getattr(before, name), getattr(after, name), rel_tol=SAME) for name in names)


def _invalidated(state: State, then: Assessment) -> Iterator[Invalidated]:
    """Latest revisions that stand and whose facts differ: the same comparison as when the change is replayed."""
    for system, revisions in state.records.revisions.items():
        last = revisions[-1]
        if last.voided is not None:
            continue
        gone = system not in then.plant.systems or system not in state.plant.systems
        if gone or basis.facts(state.assessment, system) != basis.facts(then, system):
            yield Invalidated(system, last.number, tuple(last.signatures))
